// Checks a microphone's sound clock: its sound goes to the workshop, which hears the tick and counts
// the samples against its own clock. Nothing of the sound is kept there.
"use strict";
import { Microphone } from "./microphone.js";
import { Sender } from "./sender.js";
import { sheetOf } from "./sheet.js";

const { page, part, words, show, meter, post, faultWords, listDevices, ready } = sheetOf("check");
const ways = Object.fromEntries([...page.querySelectorAll("[data-way]")].map((each) => [each.dataset.way, each]));

let stage = "idle"; // idle, opening, listening
let sender = null;
let addresses = null;
let awake = null;

// Sound is sent when a block is full, never by a timer: a timer's even steps would be taken for the
// sound's own, and hide by how much its clock is off.
const block = (samples, peak) => {
  meter(peak);
  if (stage !== "listening") return;
  sender.add(samples);
  sender.send();
};

const microphone = new Microphone(page.dataset.gather, {
  block,
  gap: () => { if (stage === "listening") anew(words.anew); },
  gone: () => { stop(); show("said", words.gone); },
});

const enter = (next, label) => {
  stage = next;
  page.dataset.stage = next;
  part.go.querySelector("span").textContent = label;
  part.go.disabled = next === "opening";
};

const start = async () => {
  enter("opening", words.opening);
  show("said", "");
  try {
    if (!microphone.stream) await open();
    addresses = await post(page.dataset.begin, {
      ...Object.fromEntries(new FormData(part.facts)), rate_hz: String(microphone.rateHz), recorder: microphone.label,
    });
    sender = new Sender(addresses.add, page.dataset.token, microphone.rateHz, { answer: answered, waiting, over });
    Object.values(ways).forEach(empty);
    show("doubts", "");
    part.ways.hidden = false;
    enter("listening", words.stop);
  } catch (fault) {
    microphone.close();
    show("said", faultWords(fault));
    enter("idle", words.listen);
  }
};

const open = async () => {
  if (!navigator.mediaDevices) throw Object.assign(new Error(), { said: words.insecure });
  await microphone.open(part.device.value);
  await listDevices();
  awake = await navigator.wakeLock?.request("screen").catch(() => null);
};

const stop = () => {
  sender?.end();
  microphone.close();
  awake?.release();
  if (stage === "listening") show("said", words.stopped);
  enter("idle", words.listen);
};

const anew = async (said) => {
  sender.end();
  await start();
  if (stage === "listening") show("told", said);
};

const answered = (told) => {
  if (stage !== "listening") return;
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

const waiting = (seconds) => show("said", words.waiting.replace("#", seconds.toFixed(0)));
const over = () => anew(words.restarted);

const store = async (way) => {
  try {
    const told = await post(addresses.store, { way, ...(part.also.checked ? { also: "yes" } : {}) });
    stop();
    window.location.assign(told.address);
  } catch (fault) {
    show("told", faultWords(fault));
  }
};

part.go.addEventListener("click", () => (stage === "listening" ? stop() : start()));
Object.entries(ways).forEach(([name, each]) => each.querySelector("[data-store]").addEventListener("click", () => store(name)));
part.device.addEventListener("change", () => { if (stage === "listening") stop(); });
ready();
