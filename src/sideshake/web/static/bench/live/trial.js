// Tries a microphone: its sound goes to the workshop, which says how loud it is and what it hears.
// It ends by itself with a first reading, or with the reason why there is none.
"use strict";
import { listenOnce } from "./once.js";
import { sheetOf } from "./sheet.js";

const sheet = sheetOf("trial");
const { page, part, words, show, lines, ready } = sheet;

const began = (told, microphone) => {
  show("heardBy", words.heardBy.replace("#", microphone.label));
  part.improved.hidden = !microphone.improved.length;
  show("clock", told.clock);
  part.clockWay.hidden = told.checked;
};

const answered = (told) => {
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

const clear = () => {
  ["told", "sentence", "loud", "time"].forEach((name) => show(name, ""));
  lines("meaning", []);
  lines("doubts", []);
  part.next.hidden = true;
  delete page.dataset.over;
};

const { stop } = listenOnce(sheet, { facts: () => ({}), clear, began, answered, again: words.again, byTimer: true });
ready();
