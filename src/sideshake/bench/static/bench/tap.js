// Tapping the photograph fills the two numbers and goes to the text; arrow keys move the point.
"use strict";
(() => {
  const picture = document.querySelector("#tap svg");
  const [across, down, text] = ["across", "down", "text"].map((id) => document.getElementById(id));
  if (!picture || !across) return;
  const ns = "http://www.w3.org/2000/svg";
  const at = document.createElementNS(ns, "circle");
  at.setAttribute("class", "new");
  at.setAttribute("r", String(picture.viewBox.baseVal.width / 50));
  const place = () => {
    at.setAttribute("cx", `${Number(across.value)}%`);
    at.setAttribute("cy", `${Number(down.value)}%`);
    picture.append(at);
  };
  picture.addEventListener("click", (event) => {
    const box = picture.getBoundingClientRect();
    across.value = (100 * (event.clientX - box.left) / box.width).toFixed(1);
    down.value = (100 * (event.clientY - box.top) / box.height).toFixed(1);
    place();
    text.focus();
  });
  const moves = { ArrowLeft: [across, -1], ArrowRight: [across, 1], ArrowUp: [down, -1], ArrowDown: [down, 1] };
  for (const field of [across, down]) {
    field.addEventListener("input", place);
    field.addEventListener("keydown", (event) => {
      const [which, way] = moves[event.key] || [];
      if (!which) return;
      event.preventDefault();
      which.value = Math.min(100, Math.max(0, Number(which.value) + way)).toFixed(1);
      place();
    });
  }
})();
