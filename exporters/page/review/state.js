// What the page shows, in one object, and the address that says the same.

import { SPANS_MM, STEEPEST_DEG } from "./scene/camera.js";

export const DIMENSION_SETS = ["client", "installer"];

const number = (text) => {
  const value = Number(text);
  return text !== "" && Number.isFinite(value) ? value : null;
};
const within = (value, [low, high]) => Math.min(high, Math.max(low, value));
const short = (value, places = 2) => String(Number(value.toFixed(places)));

/** Holds the state; whoever watches is told which keys changed. */
export class State {
  constructor(values) {
    this.values = values;
    this.watchers = [];
  }

  get(key) {
    return this.values[key];
  }

  set(changes) {
    const changed = Object.keys(changes).filter((key) => this.values[key] !== changes[key]);
    if (changed.length === 0) return;
    Object.assign(this.values, changes);
    const keys = new Set(changed);
    for (const watcher of this.watchers) watcher(keys);
  }

  watch(watcher) {
    this.watchers.push(watcher);
  }
}

/** Names a row of the part list: one mark on one panel. */
export const rowKey = (mark, panel) => `${mark}@${panel}`;

/** The address's part after '#', for the state as it is. */
export function addressOf(values, allRows) {
  const parts = [`at=${short(values.at)}`];
  if (values.view) parts.push(`view=${values.view}`);
  else if (values.look) {
    const { yaw, pitch, span, target, flat } = values.look;
    const figures = [yaw, pitch, span, ...target].map((one) => short(one, 1));
    parts.push(`look=${figures.join(",")},${flat ? "flat" : "deep"}`);
  }
  const hidden = allRows.filter((key) => values.hidden.has(key));
  const shown = allRows.filter((key) => !values.hidden.has(key));
  if (hidden.length > 0) {
    parts.push(shown.length < hidden.length ? `only=${shown.join(",")}` : `hide=${hidden.join(",")}`);
  }
  if (values.pair) parts.push(`${values.pair.kind}=${values.pair.index + 1}`);
  if (values.picked) parts.push(`pick=${values.picked}`);
  if (values.cut) {
    const { axis, at, flipped } = values.cut;
    parts.push(`cut=${axis},${short(at, 1)}${flipped ? ",flip" : ""}`);
  }
  if (values.measure.length > 0) {
    const ends = values.measure.map((end) => [end.body, ...end.point.map((one) => short(one, 3))]);
    parts.push(`measure=${ends.join(";")}`);
  }
  if (values.dimensions) parts.push(`dimensions=${values.dimensions}`);
  for (const flag of ["byPanel", "asBuilt", "person", "shape"]) {
    if (values[flag]) parts.push(`${flag}=on`);
  }
  return parts.join("&");
}

const readers = {
  at: (text, limits) => {
    const at = number(text);
    return at === null ? {} : { at: Math.min(limits.travel, Math.max(0, at)) };
  },
  view: (text, limits) => (limits.views.includes(text) ? { view: text } : {}),
  look: (text) => {
    const words = text.split(",");
    const [yaw, pitch, span, ...target] = words.slice(0, 6).map(number);
    const isWhole = words.length === 7 && [yaw, pitch, span, ...target].every((one) => one !== null);
    if (!isWhole) return {};
    const held = { pitch: within(pitch, [-STEEPEST_DEG, STEEPEST_DEG]), span: within(span, SPANS_MM) };
    return { view: "", look: { yaw, ...held, target, flat: words[6] === "flat" } };
  },
  hide: (text, limits) => ({ hidden: new Set(text.split(",").filter((key) => limits.rows.includes(key))) }),
  only: (text, limits) => {
    const kept = new Set(text.split(",").filter((key) => limits.rows.includes(key)));
    if (kept.size === 0) return {}; // a link from another revision
    return { hidden: new Set(limits.rows.filter((key) => !kept.has(key))) };
  },
  pair: (text, limits) => pairFrom("pair", text, limits.pairs),
  built: (text, limits) => pairFrom("built", text, limits.built),
  finding: (text, limits) => pairFrom("finding", text, limits.findings),
  pick: (text, limits) => (limits.isKnown(text) ? { picked: text } : {}),
  cut: (text, limits) => {
    const [axis, at, flip] = text.split(",");
    const position = number(at ?? "");
    if (!["x", "y", "z"].includes(axis) || position === null) return {};
    return { cut: { axis, at: within(position, limits.cutRange(axis)), flipped: flip === "flip" } };
  },
  measure: (text, limits) => {
    const ends = text.split(";").map((end) => end.split(",").map(number));
    const isWhole = ends.length <= 2 && ends.every(
      (end) => end.length === 4 && end.every((one) => one !== null) && Number.isInteger(end[0]) && limits.bodies > end[0] && end[0] >= 0);
    return isWhole ? { measure: ends.map(([body, ...point]) => ({ body, point })) } : {};
  },
  // "on" is what links of earlier pages say.
  dimensions: (text) => ({ dimensions: text === "on" ? "client" : DIMENSION_SETS.includes(text) ? text : "" }),
  person: (text) => ({ person: text === "on" }),
  shape: (text, limits) => ({ shape: text === "on" && limits.hasShapes }),
  byPanel: (text) => ({ byPanel: text === "on" }),
  asBuilt: (text, limits) => ({ asBuilt: text === "on" && limits.hasBuilt }),
};

function pairFrom(kind, text, count) {
  const place = number(text);
  const isThere = Number.isInteger(place) && place >= 1 && place <= count;
  return isThere ? { pair: { kind, index: place - 1 } } : {};
}

/** What the address says, bad or unknown words left out. `limits` says what there is. */
export function stateFrom(hash, limits) {
  const values = {};
  for (const word of hash.replace(/^#/, "").split("&")) {
    const equals = word.indexOf("=");
    const key = word.slice(0, Math.max(0, equals));
    if (!Object.hasOwn(readers, key)) continue;
    let text = word.slice(equals + 1);
    try {
      text = decodeURIComponent(text);
    } catch {
      continue; // no valid text
    }
    Object.assign(values, readers[key](text, limits));
  }
  return values;
}
