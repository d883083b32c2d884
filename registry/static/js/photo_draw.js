// Draws marks or covers over a photo and writes them into the form, one a line. Bound by
// data-draw-tools="<kinds>" and data-draw-frame; without this script the lines are typed.

import { pressByKeys } from "./photo_keys.js";

const SVG = "http://www.w3.org/2000/svg";
const MOST = { arrow: 2, ring: 2, box: 2, words: 1, line: 500, outline: 500 };
const FEWEST = { arrow: 2, ring: 2, box: 2, words: 1, line: 2, outline: 3 };
const SAID = {
  arrow: "Press the tail, then the point.",
  ring: "Press the middle, then a place on the ring.",
  box: "Press one corner, then the opposite one.",
  words: "Press where the words begin.",
  line: "Press along the line, then Done.",
  outline: "Press round the outline, then Done.",
};

function shape(name, values) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(values)) made.setAttribute(key, value);
  return made;
}

function read(line) {
  const [kind, ...rest] = line.trim().split(/\s+/);
  const points = [];
  while (rest.length && /^\d+(\.\d+)?,\d+(\.\d+)?$/.test(rest[0])) {
    points.push(rest.shift().split(",").map((part) => Number(part) / 100));
  }
  return MOST[kind] && points.length ? { kind, points, words: rest.join(" ") } : null;
}

function pixels(mark, box) {
  return mark.points.map(([x, y]) => [x * box.width, y * box.height]);
}

function drawn(mark, box) {
  const points = pixels(mark, box);
  const [[x, y]] = points;
  const [u, v] = points[1] ?? [x, y];
  const found = [];
  if (mark.kind === "ring") found.push(["circle", { cx: x, cy: y, r: Math.hypot(u - x, v - y) }]);
  else if (mark.kind === "box") {
    const size = { width: Math.abs(u - x), height: Math.abs(v - y) };
    found.push(["rect", { x: Math.min(x, u), y: Math.min(y, v), ...size, class: "is-cover" }]);
  } else if (mark.kind !== "words") {
    const closed = mark.kind === "outline" && points.length > 2;
    found.push([closed ? "polygon" : "polyline", { points: points.join(" ") }]);
  }
  if (mark.kind === "arrow" && points[1]) {
    const back = Math.atan2(y - v, x - u);
    const reach = 0.03 * Math.max(box.width, box.height);
    const ends = [0.44, -0.44].map((turn) => [
      u + reach * Math.cos(back + turn), v + reach * Math.sin(back + turn),
    ]);
    found.push(["polyline", { points: [ends[0], [u, v], ends[1]].join(" ") }]);
  }
  return found;
}

function paint(layer, marks, box) {
  layer.replaceChildren();
  for (const mark of marks) {
    for (const [name, values] of drawn(mark, box)) {
      if (values.class !== "is-cover") layer.append(shape(name, { ...values, class: "is-under" }));
      layer.append(shape(name, values));
    }
    if (mark.words) {
      const away = mark.kind === "words" ? 0 : 0.012 * Math.max(box.width, box.height);
      const [x, y] = [pixels(mark, box)[0][0] + away, pixels(mark, box)[0][1] - away];
      for (const under of ["is-under", ""]) {
        const text = shape("text", { x, y, class: under });
        text.textContent = mark.words;
        layer.append(text);
      }
    }
  }
}

function button(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "second";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}

class Drawing {
  constructor(tools, frame, field) {
    this.field = field;
    this.frame = frame;
    this.svg = frame.querySelector("svg");
    this.box = this.svg.viewBox.baseVal;
    this.layer = shape("g", {});
    this.svg.append(this.layer);
    this.kind = null;
    this.points = [];
    this.said = document.createElement("p");
    this.said.className = "hint";
    this.said.setAttribute("role", "status");
    this.build(tools);
    frame.addEventListener("pointerdown", (event) => this.press(event));
    pressByKeys(frame, { press: (at) => this.press(at), takeBack: () => this.takeBack() });
    field.addEventListener("input", () => this.show());
    this.show();
  }

  build(tools) {
    this.keys = tools.dataset.drawTools.split(" ").map((kind) => {
      const key = button(kind === "box" ? "cover a part" : kind, () => this.choose(kind));
      key.dataset.kind = kind;
      return key;
    });
    const label = document.createElement("label");
    label.textContent = "words for the next mark ";
    this.words = document.createElement("input");
    this.words.maxLength = 120;
    label.append(this.words);
    const hasWords = this.keys.some((key) => key.dataset.kind !== "box");
    this.done = button("Done", () => this.finish());
    const back = button("Take back the last", () => this.takeBack());
    tools.append(...this.keys, ...(hasWords ? [label] : []), this.done, back, this.said);
  }

  choose(kind) {
    this.kind = this.kind === kind ? null : kind;
    this.points = [];
    this.show();
  }

  press(event) {
    if (!this.kind) return;
    event.preventDefault();
    const seen = this.frame.getBoundingClientRect();
    const part = (at, from, size) => Math.min(1, Math.max(0, (at - from) / size));
    this.points.push([
      part(event.clientX, seen.left, seen.width), part(event.clientY, seen.top, seen.height),
    ]);
    if (this.points.length >= MOST[this.kind]) this.finish();
    else this.show();
  }

  finish() {
    if (!this.kind || this.points.length < FEWEST[this.kind]) return this.show();
    const words = this.kind === "box" ? "" : this.words.value.trim();
    if (this.kind === "words" && !words) {
      this.points = [];
      this.said.textContent = "Write the words first, then press where they begin.";
      this.words.focus();
      return this.paint();
    }
    const points = this.points.map((xy) => xy.map((part) => (100 * part).toFixed(2)).join(","));
    const line = [this.kind, ...points, words].join(" ").trim();
    this.write([...this.lines(), line]);
    this.words.value = "";
    this.points = [];
    return this.show();
  }

  takeBack() {
    if (this.points.length) this.points.pop();
    else this.write(this.lines().slice(0, -1));
    this.show();
  }

  lines() {
    return this.field.value.split("\n").filter((line) => line.trim());
  }

  // Told like typing, so that what is kept on the device stays true.
  write(lines) {
    this.field.value = lines.join("\n");
    this.field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  show() {
    for (const key of this.keys) {
      key.setAttribute("aria-pressed", String(key.dataset.kind === this.kind));
    }
    this.frame.classList.toggle("is-drawing", Boolean(this.kind));
    this.done.disabled = !this.kind || this.points.length < FEWEST[this.kind];
    this.said.textContent = this.kind ? SAID[this.kind] : "Choose what to draw.";
    this.paint();
  }

  paint() {
    const marks = this.lines().map(read).filter(Boolean);
    if (this.points.length) marks.push({ kind: this.kind === "ring" || this.kind === "box" ? "line" : this.kind, points: this.points, words: "" });
    paint(this.layer, marks, this.box);
  }
}

const tools = document.querySelector("[data-draw-tools]");
const frame = document.querySelector("[data-draw-frame]");
const field = document.querySelector("textarea[name=marks], textarea[name=covers]");
if (tools && frame && field) new Drawing(tools, frame, field);
