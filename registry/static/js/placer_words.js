// From points tapped on a plan to the place in the words of the scheme. It has to give what
// registry/plan/tapping.py gives, to the last digit; a browser test holds them together.

const TOUCH = 1e-6;
const SLACK = 0.001;
const FOOT = 0.3048;
const SYSTEMS = {
  inch_pound: { per: FOOT, step: 0.1, most: 3, least: 1, unit: "ft" },
  si: { per: 1, step: 0.01, most: 4, least: 2, unit: "m" },
};

export class NoPlace extends Error {}

function halfEven(value) {
  const floor = Math.floor(value);
  if (value - floor !== 0.5) return Math.round(value);
  return floor % 2 === 0 ? floor : floor + 1;
}

export class Scheme {
  constructor(ground, system) {
    this.ground = ground;
    this.is = SYSTEMS[system ?? ground.system];
  }

  // Lengths: metres in, and as the plan writes them.
  written(metres) {
    return Number((metres / this.is.per).toFixed(this.is.most));
  }

  metres(written) {
    return this.is.per === 1 ? written : written * this.is.per;
  }

  steps(metres, way) {
    return this.metres(way(this.written(metres) / this.is.step) * this.is.step);
  }

  asWritten(metres) {
    return this.metres(this.written(metres));
  }

  near(metres, least, most) {
    for (const way of [halfEven, Math.floor, Math.ceil]) {
      const found = this.steps(metres, way);
      if (found >= least - SLACK && found <= most + SLACK) return found;
    }
    return this.asWritten(metres);
  }

  length(metres, least = this.is.least) {
    const [whole, decimals = ""] = this.written(metres).toFixed(this.is.most).split(".");
    const kept = decimals.replace(/0+$/, "").padEnd(least, "0");
    return kept ? `${whole}.${kept}` : whole;
  }

  span(start, stop) {
    return start === stop ? this.length(start) : `${this.length(start, 0)}-${this.length(stop, 0)}`;
  }

  station(metres) {
    const written = this.written(metres);
    let hundreds = Math.floor(written / 100);
    let text = this.length(this.metres(Number((written - 100 * hundreds).toFixed(4))), 0);
    if (text === "100") [hundreds, text] = [hundreds + 1, "0"];
    const [whole, decimals] = text.split(".");
    return `${hundreds}+${whole.padStart(2, "0")}${decimals ? `.${decimals}` : ""}`;
  }

  offset(metres) {
    return `${metres < 0 ? "L" : "R"} ${this.length(Math.abs(metres))}`;
  }

  offsets(start, stop) {
    if (start < 0 && stop > 0) return `L ${this.length(-start, 0)} to R ${this.length(stop, 0)}`;
    const [near, far] = [Math.abs(start), Math.abs(stop)].sort((a, b) => a - b);
    return `${stop <= 0 ? "L" : "R"} ${this.span(near, far)}`;
  }

  // Where a point lies.
  panelAt(point) {
    return this.ground.panels.find((panel) => distance(point, panel.ring) <= TOUCH);
  }

  inPanel(panel, point) {
    const [right, up] = toPanel(panel, point).map((value) => Math.max(value, 0));
    const rounds = [right, up].map((value) => this.steps(value, halfEven));
    const floors = [right, up].map((value) => this.steps(value, Math.floor));
    const ceils = [right, up].map((value) => this.steps(value, Math.ceil));
    const tries = [rounds, floors, [floors[0], ceils[1]], [ceils[0], floors[1]], ceils];
    const held = tries.find((one) => one[0] <= panel.size[0] + SLACK
      && one[1] <= panel.size[1] + SLACK && distance(toPlan(panel, one), panel.ring) <= SLACK);
    return held ?? [this.asWritten(right), this.asWritten(up)];
  }

  // A point of the picture of a path is [station, offset], of any other plan [right, up].
  stationed([first, second]) {
    const { frame, top_m: top } = this.ground;
    if (frame.kind === "strip") {
      const ends = frame.is_width_known
        ? [-frame.center_m, frame.width_m - frame.center_m] : [-Infinity, Infinity];
      return [this.near(Math.max(first, 0), 0, frame.length_m), this.near(second, ...ends)];
    }
    if (top === null) throw new NoPlace("Draw within one panel, or write the place.");
    if (second < -TOUCH || second > top + TOUCH) throw new NoPlace("Nothing of the plan is there.");
    return [this.near(Math.max(second, 0), 0, top), this.near(first, -Infinity, Infinity)];
  }

  refuseOutside(point) {
    const { outline, frame, squares } = this.ground;
    if (frame.kind === "strip") return;
    if (outline.length && distance(point, outline) > 0) {
      throw new NoPlace("That spot lies outside the outline of the pavement.");
    }
    if (!squares || !this.squareAt(point)) throw new NoPlace("Nothing of the plan is there.");
  }

  squareAt([right, up]) {
    const [rights, ups, side] = this.ground.squares;
    const count = (value) => (value >= -TOUCH && value <= 0 ? 1 : Math.ceil((value - TOUCH) / side));
    const [x, y] = [count(right), count(up)];
    return x >= 1 && x <= rights && y >= 1 && y <= ups ? [x, y] : null;
  }

  // The place in words, and how it is told while a finger moves.
  place(points, drawn) {
    if (drawn === "spot") return this.spot(points.at(-1));
    const panels = points.map((point) => this.panelAt(point));
    const [panel] = panels;
    if (!panel || panels.some((other) => other !== panel)) return this.byStations(points, panels, drawn);
    const inside = points.map((point) => this.inPanel(panel, point));
    if (drawn === "line") {
      const kept = inside.filter((one, nth) => !nth || !same(one, inside[nth - 1]));
      if (kept.length < 2) throw new NoPlace("Tap two places farther apart.");
      const told = kept.map(([right, up]) => `R ${this.length(right)} U ${this.length(up)}`);
      return `${panel.name}, from ${told.join(" to ")}`;
    }
    const [right, up] = box(inside);
    return `${panel.name} · ${this.span(...right)} R · ${this.span(...up)} U`;
  }

  spot(point) {
    const panel = this.panelAt(point);
    if (panel) {
      const [right, up] = this.inPanel(panel, point);
      return `${panel.name} · ${this.length(right)} R · ${this.length(up)} U`;
    }
    this.refuseOutside(point);
    if (this.ground.frame.kind !== "strip") {
      const square = this.squareAt(point);
      const side = this.ground.squares[2];
      const [right, up] = square.map((count, nth) => {
        return this.near(Math.max(point[nth] - (count - 1) * side, 0), 0, side);
      });
      return `g(${square}) · ${this.length(right)} R · ${this.length(up)} U`;
    }
    const [station, offset] = this.stationed(point);
    return `${this.station(station)} ${this.offset(offset)}`;
  }

  byStations(points, panels, drawn) {
    points.forEach((point, nth) => panels[nth] || this.refuseOutside(point));
    const found = points.map((point) => this.stationed(point));
    if (drawn === "area") {
      const [along, across] = box(found);
      const stations = along.map((station) => this.station(station)).join(" to ");
      return `${stations}, ${this.offsets(...across)}`;
    }
    const ends = [found[0], found.at(-1)].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    if (same(...ends)) throw new NoPlace("Tap two places farther apart.");
    const told = ends.map(([station, offset]) => `${this.station(station)} ${this.offset(offset)}`);
    return `from ${told.join(" to ")}`;
  }
}

function same(one, other) {
  return one[0] === other[0] && one[1] === other[1];
}

function box(points) {
  const spans = [0, 1].map((nth) => points.map((point) => point[nth]))
    .map((values) => [Math.min(...values), Math.max(...values)]);
  if (spans.some(([start, stop]) => start === stop)) {
    throw new NoPlace("An area reaches both ways: tap two corners farther apart.");
  }
  return spans;
}

function toPanel({ home, turned_deg: turned }, [right, up]) {
  const [awayRight, awayUp] = [right - home[0], up - home[1]];
  if (!turned) return [awayRight, awayUp];
  const turn = (turned * Math.PI) / 180;
  return [
    awayRight * Math.cos(turn) - awayUp * Math.sin(turn),
    awayRight * Math.sin(turn) + awayUp * Math.cos(turn),
  ];
}

function toPlan({ home, turned_deg: turned }, [right, up]) {
  if (!turned) return [home[0] + right, home[1] + up];
  const turn = (turned * Math.PI) / 180;
  return [
    home[0] + right * Math.cos(turn) + up * Math.sin(turn),
    home[1] - right * Math.sin(turn) + up * Math.cos(turn),
  ];
}

// From a ring: 0 inside and on it.
function distance([x, y], ring) {
  let inside = false;
  let least = Infinity;
  ring.forEach(([x1, y1], nth) => {
    const [x2, y2] = ring[(nth + 1) % ring.length];
    if (y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1) inside = !inside;
    const [dx, dy] = [x2 - x1, y2 - y1];
    const long = dx * dx + dy * dy;
    const share = long ? Math.min(1, Math.max(0, ((x - x1) * dx + (y - y1) * dy) / long)) : 0;
    least = Math.min(least, Math.hypot(x - x1 - share * dx, y - y1 - share * dy));
  });
  return inside ? 0 : least;
}
