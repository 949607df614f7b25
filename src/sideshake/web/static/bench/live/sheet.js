// What pages with a microphone share: their parts by name, their words, their stage, loudness, the
// microphone's way in and out, asking the workshop.
"use strict";
import { microphones } from "./microphone.js";

const QUIETEST_DB = -70;

export const sheetOf = (id) => {
  const page = document.getElementById(id);
  const part = Object.fromEntries([...page.querySelectorAll("[data-part]")].map((each) => [each.dataset.part, each]));
  const words = Object.fromEntries([...part.words.children].map((each) => [each.dataset.word, each.textContent]));

  const show = (name, text) => {
    if (part[name].textContent !== text) part[name].textContent = text;
    part[name].hidden = !text;
  };

  const lines = (name, texts) => {
    const joined = texts.join("\n");
    if (part[name].dataset.told === joined) return;
    part[name].dataset.told = joined;
    part[name].replaceChildren(...texts.map((text) => Object.assign(document.createElement("p"), { textContent: text })));
  };

  const is = (stage) => page.dataset.stage === stage;

  const enter = (stage, label) => {
    page.dataset.stage = stage;
    part.go.querySelector("span").textContent = label;
    part.go.disabled = stage === "opening" || stage === "finishing";
  };

  const meter = (peak) => {
    const db = 20 * Math.log10(Math.max(peak, 1e-4));
    part.level.style.width = `${Math.max(0, Math.min(100, 100 * (1 - db / QUIETEST_DB)))}%`;
    part.level.classList.toggle("over", peak > 0.98);
    part.decibels.textContent = `${db.toFixed(0).replace("-", "−")} dB`;
  };

  const post = async (address, told) => {
    const answer = await fetch(address, { method: "POST", headers: { "X-CSRFToken": page.dataset.token }, body: new URLSearchParams(told) });
    const said = answer.headers.get("Content-Type")?.startsWith("application/json") ? await answer.json() : {};
    if (!answer.ok) throw Object.assign(new Error(), { said: said.said || words.noAnswer });
    return said;
  };

  const faultWords = (fault) => {
    if (fault.said) return fault.said;
    if (fault.name === "NotAllowedError") return words.refused;
    if (fault.name === "NotFoundError" || fault.name === "OverconstrainedError") return words.noMicrophone;
    return fault.name === "TypeError" ? words.noAnswer : `${words.noMicrophone} (${fault.message})`;
  };

  const listDevices = async () => {
    const chosen = part.device.value;
    const found = await microphones();
    part.device.replaceChildren(new Option(words.usual, ""), ...found.filter((each) => each.deviceId && each.deviceId !== "default")
      .map((each) => new Option(each.label || each.deviceId, each.deviceId)));
    part.device.value = chosen;
  };

  let awake = null;

  const open = async (microphone) => {
    if (!navigator.mediaDevices) throw Object.assign(new Error(), { said: words.insecure });
    await microphone.open(part.device.value);
    await listDevices();
    awake = await navigator.wakeLock?.request("screen").catch(() => null);
  };

  const close = (microphone) => {
    microphone.close();
    awake?.release();
  };

  const ready = () => {
    part.needsScript.remove();
    part.controls.hidden = false;
    if (navigator.mediaDevices) listDevices();
    else show("said", words.insecure);
  };

  return { page, part, words, show, lines, is, enter, meter, post, faultWords, open, close, ready };
};
