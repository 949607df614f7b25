// One key for what can be pressed: a button or link with data-key answers to that key,
// unless somebody is typing; the space bar, which a foot pedal presses, is for data-pedal. "/" goes
// to the search, "?" shows the keys of this page.
"use strict";
(() => {
  const typing = (target) => target.closest("input:not([type=checkbox]):not([type=radio]), textarea, select, [contenteditable]");
  const pressed = (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    if (event.key === "Escape" && typing(event.target)) { event.target.blur(); return; }
    if (typing(event.target)) return;
    if (event.key === "/") { go(document.querySelector("input[type=search]"), event); return; }
    if (event.key === "?") { document.body.classList.toggle("show-keys"); return; }
    if (event.key === "j" || event.key === "k") { step(event.key === "j" ? 1 : -1, event); return; }
    if (event.key === " ") {
      const pedal = event.target.closest("button, a, summary, label, input") ? null : document.querySelector("[data-pedal]");
      if (pedal) { event.preventDefault(); pedal.click(); }
      return;
    }
    // the page's own keys come before those of the rooms above it
    const named = `[data-key="${CSS.escape(event.key)}"]`;
    const wanted = document.querySelector(`main ${named}`) || document.querySelector(named);
    if (wanted) { event.preventDefault(); wanted.click(); }
  };
  const go = (field, event) => { if (field) { event.preventDefault(); field.focus(); field.select(); } };
  const step = (way, event) => {
    const rows = [...document.querySelectorAll("table.list tbody a:first-of-type, [data-row]")];
    if (!rows.length) return;
    const at = rows.indexOf(document.activeElement);
    const next = rows[Math.min(Math.max(at + way, 0), rows.length - 1)];
    event.preventDefault();
    next.focus();
    next.scrollIntoView({ block: "nearest" });
  };
  document.addEventListener("keydown", pressed);
})();
