// Hearing again: how far it is, renewed in place; at the end the whole page is fetched once more.
// Without a script "Look again" does the same.
"use strict";
(() => {
  const EVERY_MS = 2000;
  const look = async () => {
    const place = document.getElementById("how-far");
    if (!place) return;
    try {
      const answer = await fetch(location.href);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const fresh = answer.ok ? page.getElementById("how-far") : place;
      if (!fresh) { location.reload(); return; }
      if (fresh !== place) place.replaceChildren(...fresh.childNodes);
    } catch { /* the workshop is closed for a moment: it is asked again */ }
    setTimeout(look, EVERY_MS);
  };
  setTimeout(look, EVERY_MS);
})();
