// Gathers the microphone's samples into blocks of a tenth of a second, as 16-bit whole numbers.
"use strict";
class Gather extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Int16Array(Math.round(sampleRate / 10));
    this.filled = 0;
    this.peak = 0;
    this.expected = -1;
  }

  process(inputs) {
    const samples = inputs[0][0];
    if (!samples) return true;
    // a frame that is not the next one: sound is missing before it
    if (this.expected >= 0 && currentFrame !== this.expected) {
      this.filled = 0;
      this.port.postMessage({ gap: true });
    }
    this.expected = currentFrame + samples.length;
    for (const sample of samples) this.take(sample);
    return true;
  }

  take(sample) {
    const value = Math.max(-1, Math.min(1, sample));
    this.peak = Math.max(this.peak, Math.abs(value));
    this.block[this.filled++] = Math.round(value * 32767);
    if (this.filled < this.block.length) return;
    const full = this.block;
    this.block = new Int16Array(full.length);
    this.filled = 0;
    this.port.postMessage({ samples: full, peak: this.peak }, [full.buffer]);
    this.peak = 0;
  }
}
registerProcessor("gather", Gather);
