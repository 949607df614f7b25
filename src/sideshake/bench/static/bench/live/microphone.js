// The microphone: raw sound, nothing improved by the browser, at the rate it really has.
"use strict";
const RAW = { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 };

export const microphones = async () =>
  (await navigator.mediaDevices.enumerateDevices()).filter((each) => each.kind === "audioinput");

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
    const { sampleRate } = track.getSettings();
    this.context = new AudioContext({ latencyHint: "playback", ...(sampleRate && { sampleRate }) });
    await this.context.audioWorklet.addModule(this.gatherAddress);
    const gather = new AudioWorkletNode(this.context, "gather", { numberOfOutputs: 0, channelCount: 1, channelCountMode: "explicit" });
    gather.port.onmessage = ({ data }) => (data.gap ? this.on.gap() : this.on.block(data.samples, data.peak));
    this.context.createMediaStreamSource(this.stream).connect(gather);
    await this.context.resume();
    this.label = track.label;
    this.rateHz = this.context.sampleRate;
  }

  close() {
    this.stream?.getTracks().forEach((track) => track.stop());
    this.context?.close();
    this.stream = this.context = null;
  }
}
