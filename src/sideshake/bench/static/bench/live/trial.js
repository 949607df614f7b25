// Tries a microphone: its sound goes to the workshop, which says how loud it is and what it hears.
// It ends by itself with a first reading, or with the reason why there is none.
"use strict";
import { Microphone } from "./microphone.js";
import { Sender } from "./sender.js";
import { sheetOf } from "./sheet.js";

const { page, part, words, show, meter, post, faultWords, listDevices, ready } = sheetOf("trial");

let stage = "idle"; // idle, opening, listening
let sender = null;
let awake = null;

const microphone = new Microphone(page.dataset.gather, {
  block: (samples, peak) => { meter(peak); if (stage === "listening") sender.add(samples); },
  gap: () => { if (stage === "listening") anew(words.lost); },
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
  clear();
  try {
    if (!microphone.stream) await open();
    const told = await post(page.dataset.begin, { rate_hz: String(microphone.rateHz), recorder: microphone.label });
    show("heardBy", words.heardBy.replace("#", microphone.label));
    part.improved.hidden = !microphone.improved.length;
    show("clock", told.clock);
    part.clockWay.hidden = told.checked;
    sender = new Sender(told.add, page.dataset.token, microphone.rateHz, { answer: answered, waiting, over: () => anew(words.lost) }).byTimer();
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
  enter("idle", words.again);
};

const anew = async (said) => {
  sender.end();
  await start();
  if (stage === "listening") show("told", said);
};

const answered = (told) => {
  if (stage !== "listening") return;
  show("time", `${told.heard_s.toFixed(0)} / ${page.dataset.wanted} s`);
  part.loud.dataset.loudness = told.loudness;
  show("loud", told.level);
  show("sentence", told.sentence);
  lines("meaning", told.meaning);
  lines("doubts", told.doubts);
  if (told.over) {
    stop();
    part.next.hidden = false;
    page.dataset.over = "yes";
  }
  show("said", told.said);
};

const lines = (name, texts) => part[name].replaceChildren(...texts.map((text) => Object.assign(document.createElement("p"), { textContent: text })));
const waiting = (seconds) => show("said", words.waiting.replace("#", seconds.toFixed(0)));

const clear = () => {
  ["said", "told", "sentence", "loud", "time"].forEach((name) => show(name, ""));
  lines("meaning", []);
  lines("doubts", []);
  part.next.hidden = true;
  delete page.dataset.over;
};

part.go.addEventListener("click", () => (stage === "listening" ? stop() : start()));
part.device.addEventListener("change", () => { if (stage === "listening") stop(); else microphone.close(); });
ready();
