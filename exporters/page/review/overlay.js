// Lines and figures over the picture: dimensions, the gap of a pair, what is measured.
import { Vector3 } from "three";
import { carried, toScene } from "./scene/motion.js";
import { placeLabels } from "./labels.js";
import { make, mm, shown } from "./words.js";

const SAME_PLACE_MM = 0.01;
const TICK_PX = 7, DOT_PX = 3;
/** A length of which less is seen is looked at from its end; of small ones this much has to be seen. */
const LEAST_SEEN = 0.12, LEAST_SMALL_PX = 26;

const apart = (a, b) => Math.hypot(...a.map((one, i) => one - b[i]));
const holdsAt = ([from, to], at) => at >= from - SAME_PLACE_MM && at <= to + SAME_PLACE_MM;

/** All that is to be drawn for a state: {from, to, label, kind}, points in the model's frame. */
export function overlayLines(state, data) {
  const at = state.get("at");
  const lines = [];
  for (const one of dimensionsOf(state, data).filter((row) => holdsAt(row.shown_mm, at))) {
    const label = one.label && `${one.label}: ${one.figures || shown(one.value_mm, 1)}`;
    lines.push({ from: one.from_mm, to: one.to_mm, label, kind: "dimension", key: one.key, line: one.line, long: one.value_mm });
  }
  if (state.get("person")) {
    const [x, y, z] = data.person.at_mm;
    const top = [x, y, z + data.person.height_mm];
    lines.push({ from: top, to: top, label: `person, ${mm(data.person.height_mm)}`, kind: "person" });
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

/** Those of the set that is chosen. */
export const dimensionsOf = (state, data) => data.dimensions.filter((one) => one.set === state.get("dimensions"));

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

/** Draws them into `svg`, which lies over the canvas; how many labels found no place. */
export function drawOverlay(svg, stage, lines) {
  svg.replaceChildren();
  svg.setAttribute("viewBox", `0 0 ${stage.size[0]} ${stage.size[1]}`);
  const mmPerPx = stage.camera.look.span / stage.size[1];
  const seen = [];
  for (const one of lines) {
    const [from, to] = [one.from, one.to].map((point) => stage.pixel(new Vector3(...toScene(point))));
    if (from.behind || to.behind || !isSeen(one, from, to, mmPerPx)) continue;
    seen.push({ ...one, a: from, b: to });
  }
  const { boxes, left } = placeLabels(seen, stage.size);
  for (const one of seen) svg.append(lineOf(one));
  for (const box of boxes) if (box?.lead) svg.append(leadOf(box.lead)); // under all labels
  seen.forEach((one, i) => boxes[i] && svg.append(labelOf(one, boxes[i])));
  return left;
}

function isSeen({ line, long }, from, to, mmPerPx) {
  const px = Math.hypot(to.x - from.x, to.y - from.y);
  if (line === "small") return px >= LEAST_SMALL_PX;
  return line !== "length" || px >= (LEAST_SEEN * long) / mmPerPx;
}

function lineOf({ kind, line, a, b }) {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const [ux, uy] = length > 0.5 ? [(b.x - a.x) / length, (b.y - a.y) / length] : [1, 0];
  const tick = ({ x, y }) => `M${x - uy * TICK_PX} ${y + ux * TICK_PX}L${x + uy * TICK_PX} ${y - ux * TICK_PX}`;
  const dot = `M${a.x - DOT_PX} ${a.y}A${DOT_PX} ${DOT_PX} 0 1 1 ${a.x + DOT_PX} ${a.y}A${DOT_PX} ${DOT_PX} 0 1 1 ${a.x - DOT_PX} ${a.y}`;
  const ends = { datum: "", place: dot }[line] ?? (kind === "person" ? "" : tick(a) + tick(b));
  const path = `M${a.x} ${a.y}L${b.x} ${b.y}${ends}`;
  return make("g", { class: `over ${kind} ${line ?? ""}` }, make("path", { d: path, class: "halo" }), make("path", { d: path }));
}

/** A label that stands away from its line is led to it. */
const leadOf = ([x, y, toX, toY]) => make("g", { class: "over lead" }, make("path", { d: `M${x} ${y}L${toX} ${toY}` }));

function labelOf({ label, kind, key }, box) {
  return make("g", { class: `over label ${kind}`, "data-key": key || undefined },
    make("rect", { x: box.left, y: box.top, width: box.width, height: box.height, rx: 3 }),
    make("text", { x: box.left + box.width / 2, y: box.top + 14.5, "text-anchor": "middle" }, label));
}
