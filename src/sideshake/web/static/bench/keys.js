// One key for what can be pressed: a button or link with data-key answers to that key,
// unless somebody is typing; the space bar, which a foot pedal presses, is for data-pedal. "/" goes
// to the search, "j" and "k" down and up a list, "?" shows the keys of this page.
"use strict";
(() => {
  const list = document.getElementById("keys");
  const SIGNS = { " ": "space", ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓" };

  const typing = (target) => target.closest("input:not([type=checkbox]):not([type=radio]), textarea, select, [contenteditable]");
  const rows = () => [...document.querySelectorAll("table.list tbody a:first-of-type, [data-row]")];
  const search = () => document.querySelector("input[type=search]");
  const can = (each) => each && !each.disabled && !each.closest("[hidden]");
  const pedal = () => [...document.querySelectorAll("[data-pedal]")].find(can);
  // the page's own keys come before those of the rooms above it
  const keyed = (named = "[data-key]") => [...document.querySelectorAll(`main ${named}`), ...document.querySelectorAll(named)].filter(can);

  const pressed = (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    if (event.key === "Escape" && typing(event.target)) { event.target.blur(); return; }
    if (typing(event.target)) return;
    if (event.key === "?") { event.preventDefault(); show(); return; }
    if (event.key === " " && event.target.closest("button, a, summary, label, input")) return;
    const does = deed(event.key);
    if (!does) return;
    event.preventDefault();
    list.close();
    does();
  };

  const deed = (key) => {
    if (key === "/") return search() && go;
    if (key === "j" || key === "k") return rows().length && (() => step(key === "j" ? 1 : -1));
    const wanted = key === " " ? pedal() : keyed(`[data-key="${CSS.escape(key)}"]`)[0];
    return wanted && (() => wanted.click());
  };

  const go = () => { search().focus(); search().select(); };
  const step = (way) => {
    const all = rows();
    const at = all.indexOf(document.activeElement);
    const next = all[Math.min(Math.max(at + way, 0), all.length - 1)];
    next.focus();
    next.scrollIntoView({ block: "nearest" });
  };

  // ---- the list of this page's keys, made when it is asked for: from what answers to them

  const show = () => {
    if (list.open) { list.close(); return; }
    const own = list.querySelector("tbody");
    own.replaceChildren(...found().map(([key, words]) => row(key, words)));
    list.querySelectorAll("[data-known]").forEach((each) => { each.hidden = !"?Escape".includes(each.dataset.known) && !deed(each.dataset.known); });
    list.showModal();
  };

  const found = () => {
    const here = new Map();
    const add = (key, element) => { if (!here.has(key)) here.set(key, said(element)); };
    if (pedal()) add(" ", pedal());
    keyed().forEach((each) => { if (!"/jk?".includes(each.dataset.key)) add(each.dataset.key, each); });
    document.querySelectorAll("[data-field-keys]").forEach((each) => here.set(each.dataset.fieldKeys, each.dataset.fieldWords));
    return [...here];
  };

  const said = (element) => {
    if (element.ariaLabel || element.title) return element.ariaLabel || element.title;
    const copy = element.cloneNode(true);
    copy.querySelectorAll("kbd").forEach((each) => each.remove());
    return copy.textContent.trim();
  };

  const row = (key, words) => {
    const line = document.createElement("tr");
    const [head, told] = ["th", "td"].map((kind) => line.appendChild(document.createElement(kind)));
    head.scope = "row";
    head.appendChild(document.createElement("kbd")).textContent = key === " " ? list.dataset.space : SIGNS[key] || key;
    line.dataset.listed = key;
    told.textContent = words;
    return line;
  };

  document.addEventListener("keydown", pressed);
  document.querySelectorAll("[data-show-keys]").forEach((each) => { each.hidden = false; each.addEventListener("click", show); });
})();
