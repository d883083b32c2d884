// Tap or drag on the plan's picture: the place is told while the finger moves and written into the
// typed field. Bound by data-placer="<id of the field>"; without this script the place is typed.

import { NoPlace, Scheme } from "./placer_words.js";
import { button, shape } from "./svg_parts.js";

const KINDS = { spot: "one spot", line: "a line", area: "an area" };
const FEWEST = { spot: 1, line: 2, area: 2 };
const ASKED = { line: "Tap the next point of the line.", area: "Tap the opposite corner." };

class Placer {
  constructor(part, field, ground) {
    this.part = part;
    this.field = field;
    this.ground = ground;
    this.frame = ground.frame;
    this.told = part.querySelector("[data-placer-told]");
    this.plan = part.querySelector("[data-placer-plan]");
    this.svg = this.plan.querySelector("svg");
    this.layer = shape("g", { class: "placer__points" });
    this.svg.append(this.layer);
    this.kind = "spot";
    this.points = [];
    this.keys = Object.entries(KINDS).map(([kind, text]) => {
      const key = button(text, () => this.choose(kind));
      key.dataset.kind = kind;
      return key;
    });
    part.querySelector("[data-placer-tools]").append(
      ...this.keys, button("Take back the last point", () => this.takeBack()),
    );
    this.plan.addEventListener("pointerdown", (event) => this.press(event));
    this.plan.addEventListener("pointermove", (event) => this.drag(event));
    for (const name of ["pointerup", "pointercancel"]) {
      this.plan.addEventListener(name, () => this.letGo());
    }
    this.plan.addEventListener("keydown", (event) => this.key(event));
    field.form?.addEventListener("change", (event) => {
      if (event.target.name === "system" && this.points.length) this.write();
    });
    part.hidden = false;
    this.show();
  }

  choose(kind) {
    this.kind = kind;
    this.points = [];
    this.show();
  }

  // The plan's point under a place on the screen; of a path [station, offset].
  pointAt(event) {
    const at = new DOMPoint(event.clientX, event.clientY)
      .matrixTransform(this.svg.getScreenCTM().inverse());
    return this.fromPaper(at.x, at.y);
  }

  fromPaper(x, y) {
    const { corner, mm_per_m: scale } = this.frame;
    const [across, down] = [x - corner[0], y - corner[1]];
    if (this.frame.kind === "strip") {
      const { rows, row_m: rowLength, row_step_mm: step, band_mm: band, width_m: width } = this.frame;
      const row = Math.min(rows - 1, Math.max(0, Math.round((down - band / 2) / step)));
      const along = Math.min(rowLength, Math.max(0, across / scale));
      const fromLeft = Math.min(width, Math.max(0, ((down - row * step) / band) * width));
      return [row * rowLength + along, fromLeft - this.frame.center_m];
    }
    const [left, bottom, , top] = this.frame.extent;
    if (this.frame.turned) return [left + down / scale, bottom + across / scale];
    return [left + across / scale, top - down / scale];
  }

  toPaper([first, second]) {
    const { corner, mm_per_m: scale } = this.frame;
    if (this.frame.kind === "strip") {
      const { rows, row_m: rowLength, row_step_mm: step, band_mm: band, width_m: width } = this.frame;
      const row = Math.min(rows - 1, Math.max(0, Math.floor(first / rowLength)));
      const down = row * step + ((second + this.frame.center_m) / width) * band;
      return [corner[0] + (first - row * rowLength) * scale, corner[1] + down];
    }
    const [left, bottom, , top] = this.frame.extent;
    const [across, down] = this.frame.turned
      ? [second - bottom, first - left] : [first - left, top - second];
    return [corner[0] + across * scale, corner[1] + down * scale];
  }

  press(event) {
    if (event.button) return;
    event.preventDefault();
    this.plan.focus({ preventScroll: true });
    this.plan.setPointerCapture(event.pointerId);
    this.isDragging = true;
    this.add(this.pointAt(event));
  }

  drag(event) {
    if (!this.isDragging) return;
    this.points[this.points.length - 1] = this.pointAt(event);
    this.show();
  }

  letGo() {
    if (!this.isDragging) return;
    this.isDragging = false;
    this.write();
  }

  add(point) {
    if (this.kind === "spot" || (this.kind === "area" && this.points.length > 499)) this.points = [];
    this.points.push(point);
    this.show();
  }

  takeBack() {
    this.points.pop();
    this.write();
  }

  // Arrow keys move the last point the way they point on the picture, one step of a tape.
  key(event) {
    const way = {
      ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1],
    }[event.key];
    if (!way && event.key !== "Enter" && event.key !== "Backspace") return;
    event.preventDefault();
    if (event.key === "Backspace") this.takeBack();
    else if (!this.points.length) this.add(this.middle());
    else if (event.key === "Enter") this.add([...this.points.at(-1)]);
    else this.points.push(this.moved(this.points.pop(), way));
    this.write();
  }

  moved([first, second], [across, down]) {
    const { is } = this.scheme();
    const step = is.step * is.per;
    if (this.frame.kind === "strip") return [first + across * step, second + down * step];
    if (this.frame.turned) return [first + down * step, second + across * step];
    return [first + across * step, second - down * step];
  }

  middle() {
    const { x, y, width, height } = this.layerBox();
    return this.fromPaper(x + width / 2, y + height / 2);
  }

  layerBox() {
    if (this.frame.kind === "strip") {
      const { corner, row_m: long, mm_per_m: scale, band_mm: band } = this.frame;
      return { x: corner[0], y: corner[1], width: long * scale, height: band };
    }
    const [left, bottom, right, top] = this.frame.extent;
    const [x, y] = this.frame.corner;
    const [wide, tall] = [right - left, top - bottom].map((side) => side * this.frame.mm_per_m);
    return this.frame.turned ? { x, y, width: tall, height: wide } : { x, y, width: wide, height: tall };
  }

  // In feet or metres, as the form is filled in.
  scheme() {
    const chosen = this.field.form?.querySelector("[name=system]:checked, select[name=system]");
    return new Scheme(this.ground, chosen?.value in { inch_pound: 1, si: 1 } ? chosen.value : null);
  }

  words() {
    if (!this.points.length) return ["", ""];
    try {
      const scheme = this.scheme();
      const here = scheme.spot(this.points.at(-1));
      if (this.points.length < FEWEST[this.kind]) return ["", `${here}. ${ASKED[this.kind]}`];
      const place = scheme.place(this.points, this.kind);
      return [place, `${place} (${scheme.is.unit})`];
    } catch (fault) {
      if (!(fault instanceof NoPlace)) throw fault;
      return ["", fault.message];
    }
  }

  // Told like typing, so that what is kept on the device stays true.
  write() {
    const [place] = this.words();
    if (place) {
      this.field.value = place;
      this.field.dispatchEvent(new Event("input", { bubbles: true }));
    }
    this.show();
  }

  show() {
    for (const key of this.keys) {
      key.setAttribute("aria-pressed", String(key.dataset.kind === this.kind));
    }
    this.told.textContent = this.words()[1] || "No point yet.";
    this.part.dataset.points = JSON.stringify(this.points);
    this.paint();
  }

  paint() {
    const at = this.points.map((point) => this.toPaper(point));
    this.layer.replaceChildren();
    if (this.kind === "line" && at.length > 1) {
      this.layer.append(shape("polyline", { points: at.join(" ") }));
    }
    if (this.kind === "area" && at.length > 1) {
      const [xs, ys] = [0, 1].map((nth) => at.map((point) => point[nth]));
      const [x, y] = [Math.min(...xs), Math.min(...ys)];
      this.layer.append(shape("rect", { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y }));
    }
    at.forEach(([x, y], nth) => {
      const last = nth === at.length - 1;
      if (last) {
        // A cross as wide as the picture: a thumb hides what lies under it.
        const { width, height } = this.svg.viewBox.baseVal;
        this.layer.append(shape("path", { d: `M0 ${y}H${width}M${x} 0V${height}`, class: "is-cross" }));
      }
      this.layer.append(shape("circle", { cx: x, cy: y, r: last ? 1.6 : 1.1 }));
    });
  }
}

for (const part of document.querySelectorAll("[data-placer]")) {
  const field = document.getElementById(part.dataset.placer);
  const ground = part.querySelector("#placer-ground");
  if (field && ground) new Placer(part, field, JSON.parse(ground.textContent));
}
