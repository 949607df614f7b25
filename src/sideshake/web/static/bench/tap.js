// Pressing the photograph fills the two numbers and goes to the text; arrow keys move the point.
"use strict";
(() => {
  const picture = document.querySelector("#tap > svg");
  const [across, down, text] = ["across", "down", "text"].map((id) => document.getElementById(id));
  if (!picture || !across || !down || !text) return;
  const number = (field) => {
    const value = Number(field.value.replace(",", "."));
    return field.value.trim() && value >= 0 && value <= 100 ? value : NaN;
  };
  const at = document.createElementNS("http://www.w3.org/2000/svg", "circle");
  at.setAttribute("class", "new");
  at.setAttribute("r", "3.2%");
  const place = () => {
    const [x, y] = [number(across), number(down)];
    if (Number.isNaN(x) || Number.isNaN(y)) { at.remove(); return; }
    at.setAttribute("cx", `${x}%`);
    at.setAttribute("cy", `${y}%`);
    picture.append(at);
  };
  picture.classList.add("pressable");
  picture.addEventListener("click", (event) => {
    const box = picture.getBoundingClientRect();
    across.value = (100 * (event.clientX - box.left) / box.width).toFixed(1);
    down.value = (100 * (event.clientY - box.top) / box.height).toFixed(1);
    place();
    text.focus();
  });
  const moves = { ArrowLeft: [across, -1], ArrowRight: [across, 1], ArrowUp: [down, -1], ArrowDown: [down, 1] };
  const nudge = (event) => {
    const [which, way] = moves[event.key] || [];
    if (!which) return;
    event.preventDefault();
    const from = number(which);
    const to = (Number.isNaN(from) ? 50 : from) + way * (event.shiftKey ? 5 : 0.5);
    which.value = Math.min(100, Math.max(0, to)).toFixed(1);
    if (Number.isNaN(number(across))) across.value = "50.0";
    if (Number.isNaN(number(down))) down.value = "50.0";
    place();
  };
  for (const field of [across, down]) {
    field.addEventListener("input", place);
    field.addEventListener("keydown", nudge);
  }
  place();
})();
