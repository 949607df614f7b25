// Listens without keeping anything: one button opens the microphone and begins, or stops.
// Sound that was lost, or a workshop opened anew in between, lets it begin anew.
"use strict";
import { Microphone } from "./microphone.js";
import { Sender } from "./sender.js";

// on.facts(): what is told at the beginning beside rate and recorder; on.clear(): what was shown goes;
// on.began(told, microphone), on.answered(told): what the workshop says; on.byTimer: see `Sender`;
// on.again: the button's words after a stop;
// words.lost, words.restarted: what is told when it begins anew
export const listenOnce = ({ page, part, words, show, is, enter, meter, post, faultWords, open, close }, on) => {
  let sender = null;
  let heard = false; // the workshop took sound since it began: only then a refusal lets it begin anew

  const microphone = new Microphone(page.dataset.gather, {
    block: (samples, peak) => {
      meter(peak);
      if (!is("listening")) return;
      sender.add(samples);
      if (!on.byTimer) sender.send();
    },
    gap: () => { if (is("listening")) anew(words.lost); },
    gone: () => { stop(); show("said", words.gone); },
  });

  const start = async () => {
    enter("opening", words.opening);
    show("said", "");
    on.clear();
    heard = false;
    try {
      if (!microphone.stream) await open(microphone);
      const told = await post(page.dataset.begin, { ...on.facts(), rate_hz: String(microphone.rateHz), recorder: microphone.label });
      on.began(told, microphone);
      sender = new Sender(told.add, page.dataset.token, microphone.rateHz, { answer: answered, waiting, over: refused });
      if (on.byTimer) sender.byTimer();
      enter("listening", words.stop);
    } catch (fault) {
      close(microphone);
      show("said", faultWords(fault));
      enter("idle", words.listen);
    }
  };

  const stop = () => {
    sender?.end();
    close(microphone);
    if (is("listening")) show("said", words.stopped);
    enter("idle", on.again);
  };

  const anew = async (said) => {
    sender.end();
    await start();
    if (is("listening")) show("told", said);
  };

  const refused = (said) => {
    if (heard) anew(words.restarted);
    else { stop(); show("said", said || words.noAnswer); }
  };

  const answered = (told) => { heard = true; if (is("listening")) on.answered(told); };
  const waiting = (seconds) => show("said", words.waiting.replace("#", seconds.toFixed(0)));

  part.go.addEventListener("click", () => (is("listening") ? stop() : start()));
  part.device.addEventListener("change", () => { if (is("listening")) stop(); });
  return { stop };
};
