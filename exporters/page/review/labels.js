// Where the labels of lines go: beside their line, off each other and off other lines, in the picture.

const HEIGHT_PX = 20, PAD_PX = 6, APART_PX = 3, EDGE_PX = 2;
/** What a label costs: by how far it stands off its line, and by each other line that it hides. */
const CROSSED = 34, ACROSS_OWN = 26;
const SHORT_PX = 60, LED_FROM_PX = 30;
const ROW_PX = HEIGHT_PX + APART_PX + 1;
const FONT = '12px "DejaVu Sans", Verdana, Arial, sans-serif';
const BOLD = new Set(["gap", "measure"]);

let pen = null;
const widths = new Map();
function widthOf(label, bold) {
  const key = `${bold}${label}`;
  if (!widths.has(key)) {
    pen ??= document.createElement("canvas").getContext("2d");
    pen.font = (bold ? "600 " : "") + FONT;
    widths.set(key, Math.ceil(pen.measureText(label).width) + 2 * PAD_PX);
  }
  return widths.get(key);
}

const meets = (a, b) => a.left < b.left + b.width + APART_PX && b.left < a.left + a.width + APART_PX &&
  a.top < b.top + b.height + APART_PX && b.top < a.top + a.height + APART_PX;

/** Whether a line from a to b goes through a box. */
function crosses(box, a, b) {
  let low = 0, high = 1;
  for (const [from, by, least, most] of [[a.x, b.x - a.x, box.left, box.left + box.width], [a.y, b.y - a.y, box.top, box.top + box.height]]) {
    if (Math.abs(by) < 1e-9) {
      if (from < least || from > most) return false;
      continue;
    }
    const [one, other] = [(least - from) / by, (most - from) / by];
    low = Math.max(low, Math.min(one, other));
    high = Math.min(high, Math.max(one, other));
  }
  return low <= high;
}

/** Middles of a label that may do, the likeliest first: {x, y, away}. */
function* middlesFor({ a, b, line, kind }, width) {
  if (line === "place" || kind === "person") {
    const up = kind === "person" ? -1 : 1;
    for (let row = 0; row < 14; ++row) {
      for (const side of [0, -0.45, 0.45, -0.9, 0.9, -1.4, 1.4, -2, 2]) {
        const way = row % 2 ? -up : up;
        const off = way * (16 + ROW_PX * (row >> 1));
        yield { x: b.x + side * width, y: b.y + off, away: Math.abs(off) + 0.35 * Math.abs(side) * width, anchor: b };
      }
    }
    return;
  }
  const isLevel = Math.abs(b.x - a.x) >= Math.abs(b.y - a.y);
  for (let row = 0; row < 12; ++row) {
    const off = (row % 2 ? 1 : -1) * (15 + ROW_PX * (row >> 1));
    for (const share of [0.5, 0.35, 0.65, 0.2, 0.8]) {
      const at = { x: a.x + share * (b.x - a.x), y: a.y + share * (b.y - a.y) };
      const away = Math.abs(off) + 14 * Math.abs(share - 0.5);
      yield isLevel ? { x: at.x, y: at.y + off, away, anchor: at }
        : { x: at.x + Math.sign(off) * (width / 2 + 6), y: at.y + Math.sign(off) * (Math.abs(off) - 15), away, anchor: at };
    }
  }
}

/**
 * Boxes for the labels of lines with their ends in pixels, `a` and `b`, each undefined where there is none.
 * No two boxes meet; what finds no place is counted in `left`.
 */
export function placeLabels(lines, [wide, tall]) {
  const taken = [];
  let left = 0;
  const boxes = lines.map((one) => {
    if (!one.label) return undefined;
    const width = widthOf(one.label, BOLD.has(one.kind));
    const isShort = Math.hypot(one.b.x - one.a.x, one.b.y - one.a.y) < SHORT_PX;
    let best;
    for (const { x, y, away, anchor } of middlesFor(one, width)) {
      if (best && away >= best.cost) continue;
      const box = { left: x - width / 2, top: y - HEIGHT_PX / 2, width, height: HEIGHT_PX };
      const inside = Math.min(Math.max(box.left, EDGE_PX), wide - width - EDGE_PX);
      const shifted = Math.abs(inside - box.left);
      box.left = inside;
      if (inside < EDGE_PX || box.top < EDGE_PX || box.top + HEIGHT_PX > tall - EDGE_PX) continue;
      if (taken.some((other) => meets(box, other))) continue;
      let cost = away + shifted;
      for (const line of lines) {
        if (line === one ? isShort && one.line !== "place" && crosses(box, line.a, line.b) : crosses(box, line.a, line.b)) {
          cost += line === one ? ACROSS_OWN : CROSSED;
        }
      }
      if (!best || cost < best.cost) best = { box, cost, anchor };
    }
    if (!best) {
      ++left;
      return undefined;
    }
    taken.push(best.box);
    return { ...best.box, lead: leadOf(best.box, best.anchor) };
  });
  return { boxes, left };
}

/** From a box to what it is about, where that is not beside it. */
function leadOf(box, { x, y }) {
  const near = [Math.min(Math.max(x, box.left), box.left + box.width), Math.min(Math.max(y, box.top), box.top + box.height)];
  return Math.hypot(near[0] - x, near[1] - y) > LED_FROM_PX - HEIGHT_PX ? [x, y, ...near] : null;
}
