// Lines and figures over the picture: dimensions, the gap of a pair, what is measured.
import { Vector3 } from "three";
import { carried, toScene } from "./scene/motion.js";
import { make, mm, shown } from "./words.js";

const SAME_PLACE_MM = 0.01;
const TICK_PX = 7;
const LABEL_CLEAR_PX = 15, GAP_CLEAR_PX = 38;

const apart = (a, b) => Math.hypot(...a.map((one, i) => one - b[i]));
const holdsAt = ([from, to], at) => at >= from - SAME_PLACE_MM && at <= to + SAME_PLACE_MM;

/** All that is to be drawn for a state: {from, to, label, kind}, points in the model's frame. */
export function overlayLines(state, data) {
  const at = state.get("at");
  const lines = [];
  if (state.get("dimensions")) {
    for (const one of data.dimensions.filter((row) => holdsAt(row.shown_mm, at))) {
      lines.push({ from: one.from_mm, to: one.to_mm, label: `${one.label}: ${shown(one.value_mm, 1)}`, kind: "dimension", key: one.key });
    }
  }
  const pair = pairOf(state, data);
  if (pair?.points_mm && Math.abs(at - pair.at_mm) <= SAME_PLACE_MM) {
    const [from, to] = gapEnds(pair);
    lines.push({ from, to, label: gapWords(pair), kind: "gap" });
  }
  const ends = state.get("measure").map((end) => carried(data.bodies[end.body], at, end.point));
  if (ends.length === 1) lines.push({ from: ends[0], to: ends[0], label: "", kind: "measure" });
  if (ends.length === 2) lines.push({ from: ends[0], to: ends[1], label: mm(apart(...ends)), kind: "measure" });
  return lines;
}

export function pairOf(state, data) {
  const pair = state.get("pair");
  if (!pair) return null;
  return pairsOf(data, pair.kind)[pair.index];
}

export const pairsOf = (data, kind) => ({ finding: data.findings, built: data.built, pair: data.curves })[kind];

/** The two nearest points; where parts overlap, the way one must go to be free. */
export function gapEnds(pair) {
  const [a, b] = pair.points_mm;
  if (!(pair.depth_mm > 0)) return [a, b];
  const middle = a.map((one, i) => (one + b[i]) / 2);
  const to = (sign) => middle.map((one, i) => one + (sign / 2) * pair.depth_mm * pair.depth_direction[i]);
  return [to(-1), to(1)];
}

export function gapWords(pair) {
  if (pair.left_mm !== undefined) return `${mm(pair.left_mm)} left of ${mm(pair.as_drawn_mm)}`;
  if (pair.depth_mm > 0) return `${mm(pair.depth_mm)} too deep`;
  return pair.clearance_mm > 0 ? `${mm(pair.clearance_mm)} apart` : "they meet";
}

/** Measured in words: straight, and along, across and up. */
export function measuredWords(state, data) {
  const at = state.get("at");
  const [from, to] = state.get("measure").map((end) => carried(data.bodies[end.body], at, end.point));
  if (!from) return "Click two points of the gate.";
  if (!to) return "Click the second point.";
  const [x, y, z] = to.map((one, i) => Math.abs(one - from[i]));
  return `${mm(apart(from, to))} straight; along the track ${shown(x)}, across ${shown(y)}, up ${shown(z)}`;
}

/** Keeps the labels off each other: pushes the later one down. */
function placeLabel({ label, kind }, x, y, taken, size) {
  const width = (kind === "dimension" ? 6.9 : 7.6) * label.length + 12;
  const left = Math.min(Math.max(x - width / 2, 2), Math.max(2, size[0] - width - 2));
  let top = Math.min(Math.max(y - 10, 2), size[1] - 22);
  for (let tries = 0; tries < 12; ++tries) {
    const hit = taken.find((box) => left < box.right && left + width > box.left && Math.abs(top - box.top) < 22);
    if (!hit) break;
    top = hit.top + 22 > size[1] - 22 ? top - 44 : hit.top + 22;
  }
  taken.push({ left, right: left + width, top });
  return { left, top, width };
}

/** Draws them into `svg`, which lies over the canvas. */
export function drawOverlay(svg, stage, lines) {
  const taken = [];
  svg.replaceChildren();
  svg.setAttribute("viewBox", `0 0 ${stage.size[0]} ${stage.size[1]}`);
  for (const one of lines) {
    const [from, to] = [one.from, one.to].map((point) => stage.pixel(new Vector3(...toScene(point))));
    if (from.behind || to.behind) continue;
    svg.append(lineOf(one.kind, from, to));
    if (one.label) svg.append(labelOf(one, from, to, taken, stage.size));
  }
}

function lineOf(kind, from, to) {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [ux, uy] = length > 0.5 ? [(to.x - from.x) / length, (to.y - from.y) / length] : [1, 0];
  const tick = ({ x, y }) => `M${x - uy * TICK_PX} ${y + ux * TICK_PX}L${x + uy * TICK_PX} ${y - ux * TICK_PX}`;
  const path = `M${from.x} ${from.y}L${to.x} ${to.y}${tick(from)}${tick(to)}`;
  return make("g", { class: `over ${kind}` }, make("path", { d: path, class: "halo" }), make("path", { d: path }));
}

function labelOf(one, from, to, taken, size) {
  const { label, kind } = one;
  const x = (from.x + to.x) / 2;
  const isLevel = Math.abs(to.x - from.x) >= Math.abs(to.y - from.y);
  const clear = kind === "gap" ? GAP_CLEAR_PX : isLevel ? LABEL_CLEAR_PX : 0;
  const y = (from.y + to.y) / 2 - clear;
  const box = placeLabel(one, x, y, taken, size);
  return make("g", { class: `over label ${kind}`, "data-key": one.key || undefined },
    make("rect", { x: box.left, y: box.top, width: box.width, height: 20, rx: 3 }),
    make("text", { x: box.left + box.width / 2, y: box.top + 14.5, "text-anchor": "middle" }, label));
}
