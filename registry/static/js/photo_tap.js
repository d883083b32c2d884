// Marks points on a picture by pressing and writes them into the form as pixels: "120,340 880,350".
// Bound by data-tap-tools (the name of the field) and data-tap-frame; without this script the
// points are typed.

import { pressByKeys } from "./photo_keys.js";
import { button, shape } from "./svg_parts.js";

const POINT = /(\d+(?:\.\d+)?)\s*,\s*(\d+(?:\.\d+)?)/g;

class Tapping {
  constructor(tools, frame, field, shown) {
    this.frame = frame;
    this.field = field;
    this.shown = shown;
    this.kind = document.querySelector("[name=outline_kind]");
    this.most = Number(tools.dataset.tapMost);
    this.words = tools.dataset.tapSaid.split("|");
    this.svg = frame.querySelector("svg");
    this.perPixel = Number(frame.dataset.tapWidth) / this.svg.viewBox.baseVal.width;
    this.said = document.createElement("p");
    this.said.className = "hint";
    this.said.setAttribute("role", "status");
    tools.append(
      button("Take back the last", () => this.takeBack()),
      button("Begin anew", () => this.write([])), this.said,
    );
    frame.classList.add("is-drawing");
    frame.addEventListener("pointerdown", (event) => this.press(event));
    pressByKeys(frame, { press: (at) => this.press(at), takeBack: () => this.takeBack() });
    field.addEventListener("input", () => this.show());
    this.kind?.addEventListener("change", () => this.show());
    this.show();
  }

  points() {
    return [...this.field.value.matchAll(POINT)].map(([, x, y]) => [Number(x), Number(y)]);
  }

  press(event) {
    event.preventDefault();
    const points = this.points();
    if (points.length >= this.most) return;
    const seen = this.frame.getBoundingClientRect();
    const width = this.svg.viewBox.baseVal.width * this.perPixel;
    const height = this.svg.viewBox.baseVal.height * this.perPixel;
    const part = (at, from, size) => Math.min(1, Math.max(0, (at - from) / size));
    this.shown.value = Math.round(seen.width);
    this.write([...points, [
      part(event.clientX, seen.left, seen.width) * width,
      part(event.clientY, seen.top, seen.height) * height,
    ]]);
  }

  takeBack() {
    this.write(this.points().slice(0, -1));
  }

  write(points) {
    this.field.value = points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join("\n");
    this.field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  show() {
    const points = this.points();
    const at = points.map(([x, y]) => [x / this.perPixel, y / this.perPixel]);
    const closed = at.length > 2 && this.kind?.value !== "line";
    const size = this.svg.viewBox.baseVal.width / Math.max(1, this.frame.clientWidth);
    this.svg.replaceChildren();
    for (const under of ["is-under", ""]) {
      this.svg.append(shape(closed ? "polygon" : "polyline", { points: at.join(" "), class: under }));
      for (const [x, y] of at) this.svg.append(shape("circle", { cx: x, cy: y, r: 5 * size, class: under }));
    }
    const count = `${points.length} point${points.length === 1 ? "" : "s"} marked. `;
    this.said.textContent = count + this.words[Math.min(points.length, this.words.length - 1)];
  }
}

const tools = document.querySelector("[data-tap-tools]");
const frame = document.querySelector("[data-tap-frame]");
const name = tools?.dataset.tapTools;
const field = document.querySelector(`textarea[name=${name}]`);
const shown = document.querySelector(`input[name=${name}_shown]`);
if (tools && frame && field && shown) new Tapping(tools, frame, field, shown);
