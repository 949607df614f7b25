// A line runs through the picture while the slow sound plays: through the whole stretch, and through
// each beat that is enlarged. Without this the sound plays and the picture stands still.
"use strict";
(() => {
  const sound = document.getElementById("slow");
  const play = document.getElementById("play");
  const lines = [...document.querySelectorAll(".cursor")];
  if (!sound || !play) return;
  for (const line of lines) {
    line.style.top = `${line.dataset.top}%`;
    line.style.height = `${line.dataset.height}%`;
  }
  const place = () => {
    const at = Number(sound.dataset.from) + sound.currentTime / Number(sound.dataset.slower);
    for (const line of lines) {
      const [from, to, left, right] = ["from", "to", "left", "right"].map((key) => Number(line.dataset[key]));
      const share = (at - from) / (to - from);
      line.hidden = share < 0 || share > 1;
      line.style.left = `${left + share * (right - left)}%`;
    }
    if (!sound.paused) requestAnimationFrame(place);
  };
  sound.addEventListener("play", place);
  sound.addEventListener("timeupdate", place);
  sound.addEventListener("seeked", place);
  play.hidden = false;
  play.addEventListener("click", () => { if (sound.paused) sound.play(); else sound.pause(); });
})();
