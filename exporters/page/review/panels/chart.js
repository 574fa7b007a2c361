// Least clearance against travel, one line a pair; its cursor is the slider.
import { make, pairWords, shown } from "../words.js";

const EDGE = { left: 46, right: 14, top: 10, bottom: 36 };
const HEIGHT_PX = 250;
const STYLES = [
  ["#b3541e", ""], ["#1f6fb2", "7 3"], ["#2d7d46", "2 3"], ["#7b4397", "10 3 2 3"],
  ["#8a6d00", ""], ["#37474f", "7 3"], ["#a3195b", "2 3"], ["#00707a", "10 3 2 3"],
];
const STEPS = [1, 2, 5];

export const styleOf = (index) => STYLES[index % STYLES.length];

/** Round positions from 0 to `end`, at least two, about `count`. */
function ticks(end, count) {
  const rough = end / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([...STEPS, 10].find((one) => one * power >= rough) ?? 10);
  const out = [];
  for (let at = 0; at <= end + step * 1e-9; at += step) out.push(at);
  return out;
}

/** A curve's clearance at a position, straight between its points. */
export function clearanceAt(curve, at) {
  const { points } = curve;
  const next = points.findIndex((point) => point[0] >= at);
  if (next <= 0) return points[next < 0 ? points.length - 1 : 0][1];
  const [from, to] = [points[next - 1], points[next]];
  return to[0] === from[0] ? to[1] : from[1] + ((at - from[0]) / (to[0] - from[0])) * (to[1] - from[1]);
}

/** A figure of the table: at the end of what is drawn it is "at least". */
export const clearanceWords = (data, value) =>
  value >= data.curves_to_mm - 0.01 ? `over ${shown(data.curves_to_mm)}` : value.toFixed(1);

export class Chart {
  constructor(holder, data, onTravel) {
    this.data = data;
    this.svg = make("svg", { class: "chart", role: "img", "aria-label":
      "Least clearance of the tightest pairs against drive travel; the table below has the figures." });
    holder.append(this.svg);
    const most = Math.max(...data.curves.map((curve) => curve.clearance_mm), 0);
    this.top = Math.min(data.curves_to_mm, Math.max(20, 10 * Math.ceil((2.5 * most) / 10)));
    this.onTravel = onTravel;
    this.svg.addEventListener("pointerdown", (event) => {
      this.svg.setPointerCapture(event.pointerId);
      this.take(event);
    });
    this.svg.addEventListener("pointermove", (event) => {
      if (event.buttons & 1) this.take(event);
    });
    new ResizeObserver(() => this.draw()).observe(holder);
  }

  take(event) {
    const x = event.clientX - this.svg.getBoundingClientRect().left;
    const share = (x - EDGE.left) / (this.width - EDGE.left - EDGE.right);
    this.onTravel(Math.min(1, Math.max(0, share)) * this.data.drive_travel_mm);
  }

  x(at) {
    return EDGE.left + (at / this.data.drive_travel_mm) * (this.width - EDGE.left - EDGE.right);
  }

  y(clearance) {
    const share = Math.min(1, clearance / this.top);
    return HEIGHT_PX - EDGE.bottom - share * (HEIGHT_PX - EDGE.top - EDGE.bottom);
  }

  draw() {
    this.width = Math.max(280, this.svg.parentElement.clientWidth);
    this.svg.setAttribute("viewBox", `0 0 ${this.width} ${HEIGHT_PX}`);
    this.svg.replaceChildren(...this.grid(), ...this.findings(), ...this.lines());
    this.cursor = make("line", { class: "cursor", y1: EDGE.top, y2: HEIGHT_PX - EDGE.bottom });
    this.dots = make("g");
    this.svg.append(this.cursor, this.dots);
    this.show(this.at ?? 0, this.chosen);
  }

  grid() {
    const bottom = HEIGHT_PX - EDGE.bottom;
    const right = this.width - EDGE.right;
    const rows = ticks(this.top, 5).flatMap((value) => [
      make("line", { class: "grid", x1: EDGE.left, x2: right, y1: this.y(value), y2: this.y(value) }),
      make("text", { x: EDGE.left - 6, y: this.y(value) + 4, "text-anchor": "end" }, shown(value)),
    ]);
    const columns = ticks(this.data.drive_travel_mm, this.width / 110).flatMap((value) => [
      make("line", { class: "grid", x1: this.x(value), x2: this.x(value), y1: EDGE.top, y2: bottom }),
      make("text", { x: this.x(value), y: bottom + 15, "text-anchor": "middle" }, shown(value)),
    ]);
    const axis = "drive travel, mm (0 closed)";
    return [...rows, ...columns,
      make("text", { x: (EDGE.left + right) / 2, y: HEIGHT_PX - 4, "text-anchor": "middle" }, axis),
      make("text", { transform: `translate(11 ${bottom / 2}) rotate(-90)`, "text-anchor": "middle" }, "clearance, mm")];
  }

  /** Where findings hold, along the bottom. */
  findings() {
    const bottom = HEIGHT_PX - EDGE.bottom;
    return this.data.findings.flatMap((finding) => finding.stretches_mm.map(([from, to]) =>
      make("rect", { class: "found", x: this.x(from) - 1, y: bottom - 5, height: 5,
        width: Math.max(2, this.x(to) - this.x(from)) })));
  }

  /** In a window of their own, which cuts off what is above the chart. */
  lines() {
    const high = HEIGHT_PX - EDGE.bottom - EDGE.top;
    this.paths = this.data.curves.map((curve, index) => {
      const [colour, dashes] = styleOf(index);
      const points = curve.points.map(([at, clearance]) =>
        `${this.x(at).toFixed(1)} ${(high * (1 - clearance / this.top)).toFixed(1)}`);
      return make("path", { d: `M${points.join("L")}`, class: "curve", stroke: colour, "stroke-dasharray": dashes });
    });
    return [make("svg", { x: 0, y: EDGE.top, width: this.width, height: high + 4 }, ...this.paths)];
  }

  show(at, chosen) {
    this.at = at;
    this.chosen = chosen;
    if (!this.cursor) return;
    this.cursor.setAttribute("x1", this.x(at));
    this.cursor.setAttribute("x2", this.x(at));
    this.dots.replaceChildren(...this.data.curves.flatMap((curve, index) => {
      const clearance = clearanceAt(curve, at);
      return clearance > this.top ? [] :
        [make("circle", { cx: this.x(at), cy: this.y(clearance), r: 3.5, fill: styleOf(index)[0] })];
    }));
    this.paths.forEach((path, index) => path.classList.toggle("chosen", index === chosen));
  }
}

/** The table below: figures of every curve, now and least, and a way to each. */
export function curveRows(data, onShow) {
  return data.curves.map((curve, index) => {
    const [colour, dashes] = styleOf(index);
    const swatch = make("svg", { width: 34, height: 10, "aria-hidden": "true" },
      make("line", { x1: 0, x2: 34, y1: 5, y2: 5, stroke: colour, "stroke-width": 3, "stroke-dasharray": dashes }));
    const button = make("button", { type: "button", onclick: () => onShow(index) }, "Show");
    button.setAttribute("aria-label", `Show ${pairWords(curve)} where they are nearest`);
    const now = make("td", { class: "n", "data-head": "now" });
    const row = make("tr", { "data-curve": index }, make("td", {}, swatch), make("td", {}, pairWords(curve)),
      now, make("td", { class: "n", "data-head": "least" }, curve.clearance_mm.toFixed(2)),
      make("td", { class: "n", "data-head": "at" }, curve.at_mm.toFixed(1)), make("td", {}, button));
    return { row, now, curve };
  });
}
