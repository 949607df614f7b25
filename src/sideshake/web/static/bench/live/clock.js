// Checks a microphone's sound clock: its sound goes to the workshop, which hears the tick and counts
// the samples against its own clock. Nothing of the sound is kept there.
"use strict";
import { listenOnce } from "./once.js";
import { sheetOf } from "./sheet.js";

const sheet = sheetOf("check");
const { page, part, words, show, post, faultWords, ready } = sheet;
const ways = Object.fromEntries([...page.querySelectorAll("[data-way]")].map((each) => [each.dataset.way, each]));

let addresses = null;

const began = (told) => {
  addresses = told;
  Object.values(ways).forEach(empty);
  show("doubts", "");
  part.ways.hidden = false;
};

const answered = (told) => {
  show("said", "");
  show("time", `${told.heard_s.toFixed(0)} s`);
  Object.entries(told.ways).forEach(([name, said]) => {
    ways[name].querySelector("[data-found]").textContent = said.sentence;
    ways[name].querySelector("[data-advice]").textContent = said.advice;
    ways[name].querySelector("[data-store]").disabled = !said.ready;
    ways[name].dataset.fastPpm = JSON.stringify(said.fast_ppm || null);
  });
  show("doubts", told.doubts.join(" "));
};

const empty = (each) => {
  each.querySelector("[data-found]").textContent = "";
  each.querySelector("[data-store]").disabled = true;
};

// Sound is sent when a block is full, never by a timer: a timer's even steps would be taken for the
// sound's own, and hide by how much its clock is off.
const { stop } = listenOnce(sheet, {
  facts: () => Object.fromEntries(new FormData(part.facts)), clear: () => {}, began, answered, again: words.listen, byTimer: false,
});

const store = async (way) => {
  try {
    const told = await post(addresses.store, { way, ...(part.also.checked ? { also: "yes" } : {}) });
    stop();
    window.location.assign(told.address);
  } catch (fault) {
    show("told", faultWords(fault));
  }
};

Object.entries(ways).forEach(([name, each]) => each.querySelector("[data-store]").addEventListener("click", () => store(name)));
ready();
