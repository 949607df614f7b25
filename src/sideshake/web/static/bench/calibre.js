// What the checks say follows each line as soon as it is left; nothing is stored. Without this the
// button "Check without saving" does the same.
"use strict";
(() => {
  const form = document.querySelector(".beside.calibre form");
  const aside = document.querySelector(".beside.calibre aside");
  if (!form || !aside) return;
  let asked = 0;
  const follow = (page) => {
    aside.replaceChildren(...page.querySelector(".beside.calibre aside").childNodes);
    for (const line of form.querySelectorAll(".line")) {
      const told = page.getElementById(line.querySelector("label").htmlFor)?.closest(".line");
      if (!told) continue;
      line.classList.toggle("has-wrong", told.classList.contains("has-wrong"));
      for (const old of line.querySelectorAll(".help, p.wrong")) old.remove();
      line.append(...told.querySelectorAll(".help, p.wrong"));
    }
  };
  form.addEventListener("change", async () => {
    const mine = ++asked;
    const typed = new FormData(form);
    typed.append("check", "1");
    try {
      const answer = await fetch(location.href, { method: "POST", body: typed });
      if (![200, 422].includes(answer.status) || mine !== asked) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (mine === asked && page.querySelector(".beside.calibre aside")) follow(page);
    } catch { /* the workshop does not answer: the button tells */ }
  });
})();
