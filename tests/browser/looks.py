"""What a page is held against in the browser: words over words, small targets, keys told truly."""

OVER = """() => { const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, parent = node.parentElement;
    if (!node.data.trim() || parent.closest("svg, .unseen, .skip, select, script, style, textarea")
        || !parent.checkVisibility({checkOpacity: true, checkVisibilityCSS: true})) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects())
      if (box.width > 2 && box.height > 2) texts.push([box, node.data.trim().slice(0, 40), parent]);
  }
  const over = [];
  texts.forEach(([one, said, parent], place) => {
    for (const [other, also, next] of texts.slice(place + 1, place + 300)) {
      const x = Math.min(one.right, other.right) - Math.max(one.left, other.left);
      const y = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
      if (next !== parent && x > 3 && y > 6 && over.length < 5) over.push(`${said} | ${also}`);
    }
  });
  return over; }"""
"""Words that lie over other words."""

BOXES_OVER = """() => { const boxes = [...document.querySelectorAll(
    "button, input:not([type=hidden]), select, textarea, a.button, summary")]
  .filter((each) => each.checkVisibility({checkOpacity: true, checkVisibilityCSS: true})
    && !each.closest(".unseen, .skip"))
  .map((each) => [each, each.getBoundingClientRect()]);
  const over = [];
  boxes.forEach(([one, a], place) => {
    for (const [two, b] of boxes.slice(place + 1)) {
      if (one.contains(two) || two.contains(one)) continue;
      const x = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const y = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (x > 1 && y > 1 && over.length < 5)
        over.push(`${one.outerHTML.slice(0, 80)} over ${two.outerHTML.slice(0, 80)}`);
    }
  });
  return over; }"""
"""Fields and buttons that lie over each other."""

TARGET_PX = 44
SMALL = """(least) => { const alone = (link) => {
    const block = link.closest("p, li, dd, td, th, h1, h2, h3, div, figcaption, label")
      || link.parentElement;
    const rest = [...block.childNodes].filter((each) => !each.contains(link)
      && !(each.matches?.("a, button, form, .unseen"))).map((each) => each.textContent).join("");
    return !/[\\p{L}\\p{N}]/u.test(rest); };
  return [...document.querySelectorAll(
    "button, input:not([type=hidden]), select, textarea, summary, a[href]")]
  .filter((each) => each.checkVisibility() && !each.closest(".unseen, .skip, svg"))
  .filter((each) => each.tagName !== "A" || each.matches(".button, .plain, nav a, table.list a")
    || alone(each))
  .map((each) => {
    const label = each.type === "checkbox" || each.type === "radio" ? each.labels[0] : null;
    const boxes = [each, label, each.tagName === "A" ? each.querySelector("img") : null]
      .filter(Boolean).map((one) => one.getBoundingClientRect());
    const most = (side) => Math.max(...boxes.map((box) => box[side]));
    return [each.outerHTML.slice(0, 120), most("width"), most("height")]; })
  .filter(([_html, width, height]) => height > 0 && Math.min(width, height) < least - 0.5); }"""
"""What is pressed and is smaller than that either way; a link within a sentence may be."""

MISFITS = f"(least) => [...({OVER})(), ...({BOXES_OVER})(), ...({SMALL})(least)]"
"""All of these in one question."""

LINES = """() => { const lines = (nav) => new Set([...nav.children]
    .filter((each) => each.checkVisibility())
    .map((each) => Math.round(each.getBoundingClientRect().top / 20))).size;
  return Math.max(...[...document.querySelectorAll(".top nav, nav.contents")].map(lines)); }"""
"""On how many lines the rooms stand, and the contents of a visit."""

ANSWERING = """() => { const answering = [];
  const named = ["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Enter", "Backspace", "Delete",
    "Home", "End", "PageUp", "PageDown", "Tab", "Escape", "F2", "Insert"];
  const ascii = Array.from({length: 95}, (_each, place) => String.fromCharCode(32 + place));
  const held = (event) => { event.preventDefault(); event.stopImmediatePropagation(); };
  for (const kind of ["click", "submit"]) window.addEventListener(kind, held, true);
  const keys = document.getElementById("keys");
  for (const key of [...ascii, ...named]) {
    document.activeElement.blur();
    const press = new KeyboardEvent("keydown", {key, bubbles: true, cancelable: true});
    if (!document.body.dispatchEvent(press)) answering.push(key);
    keys.close();
  }
  for (const kind of ["click", "submit"]) window.removeEventListener(kind, held, true);
  return answering.sort(); }"""
"""The keys that do something on a page; nothing is carried out."""

LISTED = """() => { const keys = document.getElementById("keys");
  const press = () => document.body.dispatchEvent(
    new KeyboardEvent("keydown", {key: "?", bubbles: true, cancelable: true}));
  press();
  const rows = [...keys.querySelectorAll("tr")].filter((each) => each.checkVisibility());
  const listed = rows.map((each) => [
    each.dataset.listed || each.dataset.known, each.querySelector("td").textContent]);
  press();
  return listed; }"""
"""The keys that the list under `?` names, with what it says of each."""
IN_FIELDS = {"Escape", "← ↑ → ↓", "+ − 0 ← ↑ → ↓"}
"""Keys that do something only while somebody types."""
