// The microphone: raw sound, nothing improved by the browser, at the rate it really has.
"use strict";
const LOST_S = 0.5; // sound that comes so much later than its own length says: some was lost before it
const SURE_BLOCKS = 10; // a busy page gets its blocks late, but all of them, and soon catches up
const DRIFT = 2e-4; // a sound clock may run a little slow

const IMPROVING = ["echoCancellation", "noiseSuppression", "autoGainControl"];
const RAW = { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 };

export const microphones = async () =>
  (await navigator.mediaDevices.enumerateDevices()).filter((each) => each.kind === "audioinput");

// the usual microphone goes by the name it has in the list, so that its sound clock is found again
const nameOf = async (track) => {
  const { groupId, deviceId } = track.getSettings();
  const named = (await microphones()).filter((each) => !["default", "communications"].includes(each.deviceId));
  const own = named.find((each) => each.deviceId === deviceId) || (groupId && named.find((each) => each.groupId === groupId));
  return own?.label || track.label;
};

export class Microphone {
  // on.block(samples, peak): a tenth of a second; on.gap(): sound was lost; on.gone(): it was unplugged
  constructor(gatherAddress, on) {
    this.gatherAddress = gatherAddress;
    this.on = on;
  }

  async open(deviceId) {
    this.close();
    const wanted = deviceId ? { ...RAW, deviceId: { exact: deviceId } } : RAW;
    this.stream = await navigator.mediaDevices.getUserMedia({ audio: wanted });
    const [track] = this.stream.getAudioTracks();
    track.addEventListener("ended", () => this.on.gone());
    // at the microphone's own rate nothing needs to be resampled
    const { sampleRate, ...settings } = track.getSettings();
    this.improved = IMPROVING.filter((name) => settings[name]); // what the browser does although it was asked not to
    const context = new AudioContext({ latencyHint: "playback", ...(sampleRate && { sampleRate }) });
    this.context = context;
    await context.audioWorklet.addModule(this.gatherAddress);
    const gather = new AudioWorkletNode(context, "gather", { numberOfOutputs: 0, channelCount: 1, channelCountMode: "explicit" });
    gather.port.onmessage = ({ data }) => {
      if (this.context !== context) return; // closed meanwhile
      if (data.gap || this.lost(data.samples.length / context.sampleRate)) this.on.gap();
      if (data.samples) this.on.block(data.samples, data.peak);
    };
    this.heardS = 0;
    this.usualLagS = Infinity;
    this.lateBlocks = 0;
    context.createMediaStreamSource(this.stream).connect(gather);
    await context.resume();
    this.label = await nameOf(track);
    this.rateHz = context.sampleRate;
  }

  // a computer that slept counts its sound on as if nothing had been: only the clock on the wall tells
  lost(lengthS) {
    this.heardS += lengthS;
    const lagS = Date.now() / 1000 - this.heardS;
    this.usualLagS = Math.min(this.usualLagS + DRIFT * lengthS, lagS);
    this.lateBlocks = lagS > this.usualLagS + LOST_S ? this.lateBlocks + 1 : 0;
    if (this.lateBlocks < SURE_BLOCKS) return false;
    this.lateBlocks = 0;
    this.usualLagS = lagS;
    return true;
  }

  close() {
    this.stream?.getTracks().forEach((track) => track.stop());
    this.context?.close();
    this.stream = this.context = null;
  }
}
