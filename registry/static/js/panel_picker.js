// Tap panels on the plan's picture: it ticks the boxes of the form below, and shows what they say.
// Bound by data-panel-picker="<name of the boxes>"; without this script the boxes are ticked, or
// rows typed.

import { button, shape } from "./svg_parts.js";

const HOW = { "": "", once: "✓", twice: "2×" };

class Picker {
  constructor(part, ground) {
    const { panelPicker: once, twice, all, none, words = "" } = part.dataset;
    Object.assign(this, { none, words });
    this.form = document.querySelector(`[name="${once}"]`).form;
    this.once = this.boxes(once);
    this.twice = twice ? this.boxes(twice) : new Map();
    this.all = all ? this.form.querySelector(`[type=checkbox][name="${all}"]`) : null;
    this.told = part.querySelector("[data-picker-told]");
    const svg = part.querySelector("[data-picker-plan] svg");
    this.panels = ground.panels.filter(({ name }) => this.once.has(name));
    for (const panel of this.panels) this.lay(svg, panel, ground.frame);
    part.querySelector("[data-picker-rows]").append(...this.rowKeys());
    this.form.addEventListener("change", () => this.show());
    // What was kept on the device is brought back by a press, without a word of it.
    document.addEventListener("click", () => this.show());
    part.hidden = false;
    this.show();
  }

  // The boxes by the panel's name, which is their label.
  boxes(name) {
    const found = this.form.querySelectorAll(`[type=checkbox][name="${name}"]`);
    return new Map([...found].map((box) => [box.labels[0].textContent.trim(), box]));
  }

  lay(svg, panel, frame) {
    const points = panel.ring.map((point) => onPaper(point, frame));
    const [xs, ys] = [0, 1].map((nth) => points.map((point) => point[nth]));
    const [x, y] = [xs, ys].map((of) => (Math.min(...of) + Math.max(...of)) / 2);
    panel.area = shape("polygon", { points: points.join(" "), class: "picker__panel" });
    panel.word = shape("text", { x, y, class: "picker__word", "text-anchor": "middle" });
    panel.area.addEventListener("click", () => this.step(panel.name));
    svg.append(panel.area, panel.word);
  }

  rowKeys() {
    const rows = new Map();
    for (const { name } of this.panels) {
      const letters = name.replace(/[^A-Za-z]/g, "");
      if (letters) rows.set(letters, [...(rows.get(letters) ?? []), name]);
    }
    return [...rows].map(([letters, names]) => button(letters, () => {
      const add = names.some((name) => !this.how(name));
      for (const name of names) this.set(name, add ? this.how(name) || "once" : "");
      this.tell();
    }));
  }

  how(name) {
    if (this.twice.get(name)?.checked) return "twice";
    return this.once.get(name).checked ? "once" : "";
  }

  step(name) {
    const next = { "": "once", once: this.twice.size ? "twice" : "", twice: "" };
    this.set(name, next[this.how(name)]);
    this.tell();
  }

  set(name, how) {
    this.once.get(name).checked = how !== "";
    const twice = this.twice.get(name);
    if (twice) twice.checked = how === "twice";
    if (how && this.all) this.all.checked = false;
  }

  // Told like a tick by hand, so that what is kept on the device stays true.
  tell() {
    this.once.values().next().value.dispatchEvent(new Event("input", { bubbles: true }));
    this.form.dispatchEvent(new Event("change", { bubbles: true }));
    this.show();
  }

  show() {
    const chosen = [];
    for (const { name, area, word } of this.panels) {
      const how = this.how(name);
      area.setAttribute("class", `picker__panel${how ? ` is-${how}` : ""}`);
      word.textContent = HOW[how];
      if (how) chosen.push(how === "twice" ? `${name} twice` : name);
    }
    const empty = this.all?.checked ? "The whole pavement." : this.none;
    this.told.textContent = chosen.length ? this.words + chosen.join(", ") : empty;
  }
}

// A point of the plan in the picture's millimetres; a plan with panels is drawn to one scale.
function onPaper([right, up], { corner, mm_per_m: scale, turned, extent: [left, bottom, , top] }) {
  const [across, down] = turned ? [up - bottom, right - left] : [right - left, top - up];
  return [corner[0] + across * scale, corner[1] + down * scale];
}

for (const part of document.querySelectorAll("[data-panel-picker]")) {
  const ground = part.querySelector("#picker-ground");
  const boxes = document.querySelector(`[type=checkbox][name="${part.dataset.panelPicker}"]`);
  if (ground && boxes) new Picker(part, JSON.parse(ground.textContent));
}
