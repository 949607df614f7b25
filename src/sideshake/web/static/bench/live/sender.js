// Sends sound to the workshop, numbered by its first sample, until the workshop says it has it.
// Nothing is thrown away before that; what the workshop lacks is sent again from there on.
"use strict";
const EVERY_MS = 400;
const PATIENCE_MS = 10_000;
const AGAIN_MS = 1000;
const MOST_S = 5;

export class Sender {
  // on.answer(told); on.waiting(seconds): the workshop does not answer; on.over(said): it is finished
  constructor(address, token, rateHz, on) {
    Object.assign(this, { address, token, rateHz, on });
    this.blocks = [];
    this.first = 0; // number of the first sample that is kept here
    this.kept = 0;
    this.taken = 0; // samples taken from the microphone
    this.sum = 0; // of their values, to hold against what the workshop has
    this.ended = false;
    this.busy = null;
    this.timer = null;
  }

  // send by itself from now on; a page that does not ask for this calls `send` when it likes
  byTimer() {
    this.timer = setInterval(() => this.send(), EVERY_MS);
    return this;
  }

  add(block) {
    if (this.ended) return;
    this.blocks.push(block);
    this.kept += block.length;
    this.taken += block.length;
    for (const sample of block) this.sum += sample;
  }

  get waitingS() { return this.kept / this.rateHz; }

  send() {
    if (!this.busy && !this.ended && this.kept) {
      this.busy = this.post().finally(() => { this.busy = null; });
    }
    return this.busy;
  }

  async post() {
    try {
      const answer = await fetch(`${this.address}?first=${this.first}`, {
        method: "POST", body: this.some(), redirect: "error", signal: AbortSignal.timeout(PATIENCE_MS),
        headers: { "X-CSRFToken": this.token, "Content-Type": "application/octet-stream" },
      });
      if (answer.status >= 500) throw new Error(answer.status);
      this.take(answer.status, await answer.json());
    } catch {
      this.on.waiting(this.waitingS);
      await new Promise((done) => { setTimeout(done, AGAIN_MS); });
    }
  }

  take(status, told) {
    if (status === 422 || (status === 409 && told.have < this.first)) { this.end(); this.on.over(told.said); return; }
    this.forget(told.have);
    if (status === 200) this.on.answer(told);
  }

  some() {
    const most = MOST_S * this.rateHz;
    const parts = [];
    let length = 0;
    for (const block of this.blocks) {
      if (length && length + block.length > most) break;
      parts.push(block);
      length += block.length;
    }
    return new Blob(parts);
  }

  forget(have) {
    while (this.blocks.length && this.first + this.blocks[0].length <= have) {
      this.first += this.blocks[0].length;
      this.kept -= this.blocks.shift().length;
    }
    if (have > this.first && this.blocks.length) {
      const known = have - this.first;
      this.blocks[0] = this.blocks[0].slice(known);
      this.first = have;
      this.kept -= known;
    }
  }

  async drain() {
    while (this.kept && !this.ended) await this.send();
  }

  end() {
    this.ended = true;
    clearInterval(this.timer);
  }
}
