// Ring, strip and portrait drawn on a canvas in the look of a drawing sheet. The workshop sends the numbers.
"use strict";
const INK = "#1f2f4a", BRASS = "#a5782b", PAPER = "#f6f0e2", RULE = "#d9cfb8", BAND = "rgba(165, 120, 43, 0.28)";
const SERIF = "Georgia, 'Liberation Serif', 'DejaVu Serif', serif";
const FIGURES = "'Liberation Sans', Arial, 'DejaVu Sans', sans-serif";

const begin = (canvas) => {
  const scale = window.devicePixelRatio || 1;
  const [width, height] = [canvas.clientWidth, canvas.clientHeight];
  if (canvas.width !== Math.round(width * scale)) canvas.width = Math.round(width * scale);
  if (canvas.height !== Math.round(height * scale)) canvas.height = Math.round(height * scale);
  const pen = canvas.getContext("2d");
  pen.setTransform(scale, 0, 0, scale, 0, 0);
  pen.fillStyle = PAPER;
  pen.fillRect(0, 0, width, height);
  pen.lineWidth = 1;
  return { pen, width, height };
};

const rule = (pen, x1, y1, x2, y2, colour = RULE, dash = []) => {
  pen.strokeStyle = colour;
  pen.setLineDash(dash);
  pen.beginPath();
  pen.moveTo(x1, y1);
  pen.lineTo(x2, y2);
  pen.stroke();
  pen.setLineDash([]);
};

const say = (pen, text, x, y, { font = `13px ${FIGURES}`, align = "left", colour = INK } = {}) => {
  pen.font = font;
  pen.textAlign = align;
  pen.fillStyle = colour;
  pen.fillText(text, x, y);
};

// a round step that gives three to six marks
const step = (span) => {
  const rough = span / 5;
  const ten = 10 ** Math.floor(Math.log10(rough));
  return ten * [1, 2, 5, 10].find((each) => each * ten >= rough);
};

const number = (value, by) => {
  const places = Math.max(0, -Math.floor(Math.log10(by) + 1e-9));
  return value.toFixed(places).replace("-", "−");
};

// one turn of the escape wheel: the even beat a circle, late outward, early inward, clockwise from the top
export const drawRing = (canvas, data, words) => {
  const { pen, width, height } = begin(canvas);
  const [middle, centre] = [width / 2, (height - 26) / 2 + 2];
  const most = Math.min(width / 2 - 34, centre - 20);
  const [even, reach] = [most * 0.62, most * 0.38];
  const at = (place, radius) => {
    const turn = 2 * Math.PI * place / data.late_ms.length;
    return [middle + radius * Math.sin(turn), centre - radius * Math.cos(turn)];
  };
  const out = (late) => even + reach * late / data.reach_ms;
  pen.lineWidth = 2 * (out(data.band_ms) - even);
  circle(pen, middle, centre, even, BAND);
  pen.lineWidth = 1;
  circle(pen, middle, centre, even, INK);
  data.late_ms.forEach((late, place) => {
    const wide = data.wide_ms[place];
    rule(pen, ...at(place, out(late - wide)), ...at(place, out(late + wide)), INK);
    stem(pen, at(place, even), at(place, out(late)), place % 2, 4);
    const marked = data.marked.length <= 5 && data.marked.includes(place);
    const [x, y] = at(place, most + 12);
    if (marked || place % 5 === 0) say(pen, String(place + 1), x, y + 5, { align: "center", font: marked ? `bold 14px ${FIGURES}` : `13px ${FIGURES}` });
  });
  const [y, bar] = [height - 14, reach * data.bar_ms / data.reach_ms];
  pen.lineWidth = 2;
  rule(pen, 14, y, 14 + bar, y, INK);
  [14, 14 + bar].forEach((x) => rule(pen, x, y - 4, x, y + 4, INK));
  pen.lineWidth = 1;
  say(pen, `${number(data.bar_ms, data.bar_ms)} ms`, 22 + bar, y + 5);
  key(pen, width, y, words);
};

// the same along time, where there is no turn to fold into
export const drawStrip = (canvas, data, words) => {
  const { pen, width, height } = begin(canvas);
  const [left, right, top, bottom] = [56, width - 14, 34, height - 62];
  const x = (at) => left + (right - left) * at / data.end;
  const y = (late) => (top + bottom) / 2 - (bottom - top) / 2 * Math.max(-1, Math.min(1, late / data.half_ms));
  const by = step(2 * data.half_ms);
  for (let mark = Math.ceil(-data.half_ms / by) * by; mark <= data.half_ms; mark += by) {
    rule(pen, left, y(mark), right, y(mark));
    say(pen, number(mark, by), left - 8, y(mark) + 4, { align: "right" });
  }
  band(pen, data, x, y);
  rule(pen, left, y(0), right, y(0), INK);
  data.at.forEach((at, k) => stem(pen, [x(at), y(0)], [x(at), y(data.late_ms[k])], data.side[k], 0));
  const along = step(data.end);
  for (let mark = 0; mark <= data.end; mark += along) {
    rule(pen, x(mark), bottom, x(mark), bottom + 5, INK);
    say(pen, number(mark, along), x(mark), bottom + 20, { align: "center" });
  }
  say(pen, data.time_unit, right, bottom + 20, { align: "right" });
  say(pen, `${words.later}, ms`, 14, 18, { font: `italic 14px ${SERIF}` });
  key(pen, width, height - 14, words);
};

const band = (pen, data, x, y) => {
  const knots = data.band_ms.map((half, k) => [data.end * k / (data.band_ms.length - 1), half]);
  pen.fillStyle = BAND;
  pen.beginPath();
  knots.forEach(([at, half]) => pen.lineTo(x(at), y(half)));
  [...knots].reverse().forEach(([at, half]) => pen.lineTo(x(at), y(-half)));
  pen.fill();
};

const circle = (pen, x, y, radius, colour) => {
  pen.beginPath();
  pen.arc(x, y, radius, 0, 2 * Math.PI);
  pen.strokeStyle = colour;
  pen.stroke();
};

// a tick thick with a full head, a tock thin with an open one; on the strip there is no room for heads
const stem = (pen, foot, tip, side, head) => {
  pen.lineWidth = side === 0 ? 2 : 0.8;
  rule(pen, ...foot, ...tip, INK);
  pen.lineWidth = 1;
  if (!head) return;
  pen.beginPath();
  pen.arc(...tip, head, 0, 2 * Math.PI);
  pen.fillStyle = side === 0 ? INK : PAPER;
  pen.fill();
  pen.strokeStyle = INK;
  pen.stroke();
};

const key = (pen, width, y, words) => [[0, words.tick, 158], [1, words.tock, 76]].forEach(([side, name, from]) => {
  const x = width - from;
  stem(pen, [x, y], [x + 20, y], side, 4);
  say(pen, name, x + 30, y + 5, { font: `15px ${SERIF}` });
});

export const drawPortrait = (canvas, data, words) => {
  const { pen, width, height } = begin(canvas);
  const [left, right, top, bottom] = [20, width - 20, 58, height - 42];
  const [from, until] = data.window_ms;
  const most = Math.max(20, ...data.tick_db, ...data.tock_db);
  const middle = (top + bottom) / 2;
  const x = (at) => left + (right - left) * (at - from) / (until - from);
  const y = (db, way) => middle - way * (bottom - top) / 2 * db / most;
  sound(pen, data.tick_at_ms, data.tick_db, x, (db) => y(db, 1), INK);
  sound(pen, data.tock_at_ms, data.tock_db, x, (db) => y(db, -1), BRASS);
  rule(pen, left, middle, right, middle, INK);
  say(pen, words.tick, right, top + 14, { align: "right", font: `italic 16px ${SERIF}` });
  say(pen, words.tock, right, bottom - 6, { align: "right", font: `italic 16px ${SERIF}` });
  if (data.drop_ms !== null) noises(pen, data, words, x, top, bottom);
  const along = step(until - from);
  for (let mark = Math.ceil(from / along) * along; mark <= until; mark += along) {
    rule(pen, x(mark), bottom, x(mark), bottom + 5, INK);
    say(pen, number(mark, along), x(mark), bottom + 20, { align: "center" });
  }
  say(pen, words.milliseconds, right, bottom + 37, { align: "right", font: `italic 14px ${SERIF}` });
};

const sound = (pen, at, db, x, y, colour) => {
  if (!at.length) return;
  pen.beginPath();
  pen.moveTo(x(at[0]), y(0));
  at.forEach((each, k) => pen.lineTo(x(each), y(db[k])));
  pen.lineTo(x(at[at.length - 1]), y(0));
  pen.globalAlpha = 0.16;
  pen.fillStyle = colour;
  pen.fill();
  pen.globalAlpha = 1;
  pen.strokeStyle = colour;
  pen.stroke();
};

const noises = (pen, data, words, x, top, bottom) => {
  const name = { font: `italic 15px ${SERIF}` };
  const drop = x(data.drop_ms);
  rule(pen, x(0), top - 22, x(0), bottom, INK);
  rule(pen, drop, top - 22, drop, bottom, INK);
  say(pen, words.unlocking, x(0) - 6, top - 4, { ...name, align: "right" });
  say(pen, words.drop, drop + 6, top - 4, name);
  if (data.impulse_ms !== null) {
    rule(pen, x(data.impulse_ms), top - 8, x(data.impulse_ms), bottom, INK, [6, 3]);
    say(pen, words.impulse, x(data.impulse_ms) + 5, top - 4, name);
  }
  rule(pen, x(0), top - 20, drop, top - 20, INK);
  [[x(0), 1], [drop, -1]].forEach(([at, way]) => {
    pen.beginPath();
    [[0, 0], [9 * way, -3], [9 * way, 3]].forEach(([dx, dy]) => pen.lineTo(at + dx, top - 20 + dy));
    pen.fillStyle = INK;
    pen.fill();
  });
  say(pen, data.lift, (x(0) + drop) / 2, top - 28, { align: "center", font: `15px ${SERIF}` });
};
