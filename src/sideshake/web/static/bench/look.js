// The photograph that is measured on: wheel, two fingers and keys bring it nearer, a press measures there.
// The page asks the workshop anew whenever a point or a field changes; nothing is kept before "yes".
"use strict";
(() => {
  const picture = document.querySelector("#look > svg");
  const form = document.getElementById("asked");
  if (!picture || !form) return;
  const image = picture.querySelector("image");
  const whole = { w: picture.viewBox.baseVal.width, h: picture.viewBox.baseVal.height };
  const NEAREST = 60;
  const A_PRESS_PX = 6;

  // ---- nearer, further, along

  let seen = { x: 0, y: 0, w: whole.w };
  const high = () => (seen.w * whole.h) / whole.w;
  const within = (value, most) => Math.min(Math.max(value, 0), most);
  const show = (x, y, w) => {
    seen.w = w;
    seen = { w, x: within(x, whole.w - w), y: within(y, whole.h - high()) };
    picture.setAttribute("viewBox", `${seen.x} ${seen.y} ${seen.w} ${high()}`);
    picture.classList.toggle("near", seen.w < whole.w);
    if (image.dataset.original && seen.w < whole.w / 2) {
      image.setAttribute("href", image.dataset.original);
      delete image.dataset.original;
    }
  };
  const placeOf = (event) => {
    const box = picture.getBoundingClientRect();
    return [seen.x + (seen.w * (event.clientX - box.left)) / box.width, seen.y + (high() * (event.clientY - box.top)) / box.height];
  };
  const nearer = (by, [x, y] = [seen.x + seen.w / 2, seen.y + high() / 2]) => {
    const w = Math.min(Math.max(seen.w / by, whole.w / NEAREST), whole.w);
    show(x - ((x - seen.x) * w) / seen.w, y - ((y - seen.y) * w) / seen.w, w);
  };
  const along = (right, down) => show(seen.x + right * seen.w, seen.y + down * high(), seen.w);
  const keys = {
    "+": () => nearer(1.5), "=": () => nearer(1.5), "-": () => nearer(1 / 1.5), 0: () => show(0, 0, whole.w),
    ArrowLeft: () => along(-0.15, 0), ArrowRight: () => along(0.15, 0), ArrowUp: () => along(0, -0.15), ArrowDown: () => along(0, 0.15),
  };
  picture.addEventListener("keydown", (event) => {
    if (!keys[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    event.stopPropagation();
    keys[event.key]();
  });
  picture.addEventListener("wheel", (event) => {
    event.preventDefault();
    nearer(Math.exp(-event.deltaY / 400), placeOf(event));
  }, { passive: false });
  document.querySelectorAll("[data-nearer]").forEach((button) => {
    button.hidden = false;
    button.addEventListener("click", () => (button.dataset.nearer === "0" ? show(0, 0, whole.w) : nearer(Number(button.dataset.nearer))));
  });

  // ---- fingers and the mouse

  const fingers = new Map();
  let moved = 0;
  const spread = () => {
    const [a, b] = [...fingers.values()];
    return { apart: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY), middle: { clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2 } };
  };
  picture.addEventListener("pointerdown", (event) => {
    if (!fingers.size) moved = 0;
    fingers.set(event.pointerId, event);
  });
  picture.addEventListener("pointermove", (event) => {
    const last = fingers.get(event.pointerId);
    if (!last) return;
    const before = fingers.size === 2 ? spread() : null;
    fingers.set(event.pointerId, event);
    moved += Math.hypot(event.clientX - last.clientX, event.clientY - last.clientY);
    if (moved < A_PRESS_PX) return;
    picture.setPointerCapture(event.pointerId);
    const box = picture.getBoundingClientRect();
    if (before) {
      const now = spread();
      nearer(now.apart / Math.max(before.apart, 1), placeOf(now.middle));
    } else if (fingers.size === 1) along((last.clientX - event.clientX) / box.width, (last.clientY - event.clientY) / box.height);
  });
  const lifted = (event) => {
    const alone = fingers.delete(event.pointerId) && !fingers.size;
    if (alone && event.type === "pointerup" && event.button === 0 && moved < A_PRESS_PX) press(placeOf(event));
  };
  picture.addEventListener("pointerup", lifted);
  picture.addEventListener("pointercancel", lifted);

  // ---- the points, and what the workshop says of them

  const points = [...form.querySelectorAll("[data-point]")];
  const number = (field) => (field.value.trim() ? Number(field.value.replace(",", ".")) : NaN);
  const open = (point) => point.offsetParent !== null;
  const isSet = (point) => [...point.querySelectorAll("input")].every((field) => !Number.isNaN(number(field)));
  const choose = (point) => points.forEach((each) => each.classList.toggle("next", each === point));
  const chosen = () => points.find((each) => each.classList.contains("next") && open(each));
  const choosePlace = () => choose(points.find((each) => open(each) && !isSet(each)) || chosen() || points[0]);
  const press = ([x, y]) => {
    const [across, down] = (chosen() || points[0]).querySelectorAll("input");
    across.value = ((100 * x) / whole.w).toFixed(3);
    down.value = ((100 * y) / whole.h).toFixed(3);
    choosePlace();
    ask();
  };

  let asking = null;
  const ask = async () => {
    if (!isSet(points[0])) return;
    asking?.abort();
    asking = new AbortController();
    const address = `${form.getAttribute("action")}?${new URLSearchParams(new FormData(form))}`;
    form.classList.add("asking");
    try {
      const answer = await fetch(address, { signal: asking.signal });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const [drawn, told] = ["drawn", "seen"].map((id) => page.getElementById(id));
      if (!told) throw new Error();
      document.getElementById("drawn").replaceWith(document.importNode(drawn, true));
      document.getElementById("seen").replaceWith(document.importNode(told, true));
      form.querySelector("[data-key=m]").classList.toggle("second", !!document.querySelector(".keep"));
      window.history.replaceState(null, "", address);
      form.classList.remove("asking");
    } catch (fault) {
      if (fault.name === "AbortError") return;
      form.classList.remove("asking");
      document.getElementById("seen").textContent = form.dataset.noAnswer;
    }
  };
  const scales = () => form.querySelectorAll("[data-scale]").forEach((each) => {
    each.hidden = each.dataset.scale !== form.elements.scale.value;
  });
  points.forEach((each) => each.addEventListener("focusin", () => choose(each)));
  form.addEventListener("change", () => { scales(); choosePlace(); ask(); });
  form.addEventListener("submit", (event) => { event.preventDefault(); ask(); });
  scales();
  choosePlace();
  picture.classList.add("pressable");
})();
