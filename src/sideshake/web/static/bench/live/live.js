// The live page: microphone to workshop, and what the workshop answers to the page.
// One button does the next thing; the space bar and a foot pedal press it.
"use strict";
import { drawPortrait, drawRing, drawStrip } from "./drawing.js";
import { Microphone } from "./microphone.js";
import { Sender } from "./sender.js";
import { sheetOf } from "./sheet.js";

const { page, part, words, show, lines, is, enter, meter, post, faultWords, open, close, ready } = sheetOf("live");
const places = [...page.querySelectorAll("[data-place]")];
const token = page.dataset.token;
const ROUND = page.dataset.round || "";

// stages: idle, opening, listening, finishing, between, complete
let sender = null;
let addresses = null;
let at = null; // the place of the round that is listened to

const microphone = new Microphone(page.dataset.gather, {
  block: (samples, peak) => { meter(peak); if (is("listening")) sender.add(samples); },
  gap: () => interrupted(),
  gone: () => { show("said", words.gone); stop(); },
});

// ---- one after the other

const go = async () => {
  if (is("idle") || is("between")) await start();
  else if (is("listening")) await finish();
  else if (is("complete")) window.location.assign(page.dataset.results);
};

const start = async () => {
  enter("opening", words.opening);
  try {
    if (!microphone.stream) await open(microphone);
    at = nextPlace();
    addresses = await post(page.dataset.begin, facts());
    show("clock", addresses.clock);
    sender = new Sender(addresses.add, token, microphone.rateHz, { answer: answered, waiting, over }).byTimer();
    mark();
    clear();
    enter("listening", words.finish);
  } catch (fault) {
    show("said", faultWords(fault));
    enter(ROUND ? "between" : "idle", words.listen);
  }
};

const finish = async () => {
  enter("finishing", words.finishing);
  await sender.drain();
  sender.end();
  page.dataset.sent = JSON.stringify([sender.taken, sender.sum]);
  try {
    reported(await post(addresses.finish, {}));
  } catch (fault) {
    show("said", faultWords(fault));
    enter(ROUND ? "between" : "idle", words.listen);
  }
};

const reported = (told) => {
  if (!ROUND) {
    show("said", told.heard ? words.kept : `${words.none} ${told.no_reading}.`);
    part.result.href = told.address;
    part.result.hidden = false;
    enter("idle", words.again);
    return;
  }
  if (at) fill(at, told);
  const next = nextPlace();
  if (next) show("said", `${told.heard ? words.enough : `${words.none} ${told.no_reading}.`} ${words.turn} ${next.dataset.words}.`);
  enter(next ? "between" : "complete", next ? `${words.next} ${next.dataset.words}` : words.results);
  if (!next) show("said", words.complete);
  mark();
};

// the lid was closed, or the browser lost sound: what was heard is kept, and listening begins anew
const interrupted = async () => {
  if (!is("listening")) return;
  await finish();
  at = null;
  await start();
  show("told", words.interrupted);
};

const stop = () => {
  if (is("listening")) finish();
  close(microphone);
};

// ---- what the workshop answers

const answered = (told) => {
  if (!is("listening")) return;
  show("said", told.said);
  show("time", `${told.heard_s.toFixed(0)} s`);
  if (told.fresh) showFigures(told);
  if (told.enough) finish();
};

const showFigures = (told) => {
  show("sentence", told.sentence || "");
  show("alone", told.alone || "");
  lines("meaning", told.meaning || []);
  lines("doubts", told.doubts || []);
  page.dataset.reading = JSON.stringify([told.rate_alone_s_per_day, told.amplitude_deg, told.beat_error_ms]);
  draw(told);
};

const draw = (told) => {
  part.drawings.hidden = !(told.ring || told.strip);
  if (part.drawings.hidden) return;
  if (told.ring) drawRing(part.lateness, told.ring, words);
  else drawStrip(part.lateness, told.strip, words);
  show("caption", told.ring ? words.ring : words.strip);
  if (told.portrait) drawPortrait(part.portrait, told.portrait, words);
  part.lateness.setAttribute("aria-label", told.sentence);
};

const waiting = (seconds) => {
  show("said", words.waiting.replace("#", seconds.toFixed(0)));
  if (seconds > 600) { microphone.close(); show("told", words.full); }
};
const over = (said) => { show("told", said || words.noAnswer); enter(ROUND ? "between" : "idle", words.again); };
const clear = () => { show("sentence", ""); show("alone", ""); show("told", ""); lines("meaning", []); lines("doubts", []); part.drawings.hidden = true; part.result.hidden = true; };

// ---- the places of a round

const nextPlace = () => places.find((each) => each.dataset.asked) || places.find((each) => !each.dataset.done);
const mark = () => {
  const now = is("listening") || is("opening") ? at : nextPlace();
  places.forEach((each) => each.classList.toggle("now", each === now));
  const shown = is("between") && at ? at : now; // what the pictures on the page are of
  if (ROUND) show("place", shown ? shown.dataset.words : words.allHeard);
  if (part.leave) part.leave.hidden = !now;
};
const fill = (row, told) => {
  delete row.dataset.asked;
  row.dataset.done = "yes";
  row.querySelector("[data-sentence]").textContent = told.heard ? told.sentence : `${words.none} ${told.no_reading}`;
};
const ask = (row) => {
  places.forEach((each) => delete each.dataset.asked);
  row.dataset.asked = "yes";
  if (is("complete") || is("between")) enter("between", `${words.next} ${row.dataset.words}`);
  mark();
};
const leaveOut = () => {
  const next = is("between") || is("idle") ? nextPlace() : null;
  if (!next) return;
  delete next.dataset.asked;
  next.dataset.done = "left out";
  const after = nextPlace();
  enter(after ? page.dataset.stage : "complete", after ? `${words.next} ${after.dataset.words}` : words.results);
  mark();
};

// ---- small things

const facts = () => {
  const told = ROUND ? { round: ROUND, place: at.dataset.place } : Object.fromEntries(new FormData(part.facts));
  return { ...told, rate_hz: String(microphone.rateHz), recorder: microphone.label };
};

part.go.addEventListener("click", go);
part.leave?.addEventListener("click", leaveOut);
places.forEach((each) => each.querySelector("button").addEventListener("click", () => ask(each)));
part.device.addEventListener("change", () => { if (!is("listening")) microphone.close(); });
window.addEventListener("pagehide", () => {
  if (is("listening")) navigator.sendBeacon(addresses.finish, new URLSearchParams({ csrfmiddlewaretoken: token }));
});
window.addEventListener("pageshow", (event) => { if (event.persisted) window.location.reload(); });
ready();
if (ROUND) {
  const first = nextPlace();
  enter(first ? "between" : "complete", first ? `${words.listen}: ${first.dataset.words}` : words.results);
  mark();
}
