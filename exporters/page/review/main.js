// leafstack's review page: puts the modules together. See page.html for what is where.
import { bytesOf, readGlb } from "./scene/glb.js";
import { Chart, clearanceAt, clearanceWords, curveRows } from "./panels/chart.js";
import { toModel } from "./scene/motion.js";
import { addressOf, rowKey, State, stateFrom } from "./state.js";
import { factsOf, instancesOf, rowsOf, Tree } from "./panels/tree.js";
import { gapWords, pairOf, pairsOf } from "./overlay.js";
import { Remarks } from "./panels/remarks.js";
import { Travel } from "./panels/travel.js";
import { Viewer } from "./viewer.js";
import { viewsFor } from "./scene/camera.js";
import { make, mm } from "./words.js";

const ADDRESS_AFTER_MS = 250;
const byId = (id) => document.getElementById(id);
const data = JSON.parse(byId("data").textContent);
const rows = rowsOf(data);
const limits = {
  travel: data.drive_travel_mm,
  views: Object.keys(viewsFor(data.opening_sign)),
  rows: [...rows.keys()],
  pairs: data.curves.length,
  findings: data.findings.length,
  built: data.built.length,
  cutRange: (axis) => viewer?.cutRange(axis) ?? [0, 0],
  bodies: data.bodies.length,
  hasBuilt: Boolean(built),
  hasShapes: data.shapes.length > 0,
  isKnown: (picked) => instancesOf(picked, data, rows).length > 0,
};
/** As it was built and set; nothing where nothing was measured. */
const built = data.as_built && { ...data, ...data.as_built };
const START = { at: 0, view: "corner", look: null, hidden: new Set(), picked: "", pair: null, cut: null,
  measure: [], measuring: false, dimensions: "", byPanel: false, asBuilt: false, person: false, shape: false };
for (const pair of data.built) pair.instances = [pair.a, pair.b].map(({ mark, panel }) => rows.get(rowKey(mark, panel))?.instances ?? []);
const state = new State({ ...START });

/** The viewer, or nothing where the browser has no WebGL: the rest of the page does without. */
function startViewer() {
  try {
    return new Viewer(byId("picture"), data, readGlb(bytesOf(byId("glb").textContent)), state, rows);
  } catch (error) {
    document.body.classList.add("flat");
    byId("no-picture").hidden = false;
    byId("why").textContent = error.message;
    return null;
  }
}

/** Both gates share one picture, and parts their names. */
function wireBuilt() {
  const button = byId("as-built");
  button.hidden = !built || !viewer;
  button.addEventListener("click", () => state.set({ asBuilt: !state.get("asBuilt"), pair: null }));
  if (button.hidden) return;
  const shown = { false: { data, rows, id: "glb" }, true: { data: built, rows: rowsOf(built), id: "built-glb" } };
  state.watch((changed) => {
    if (!changed.has("asBuilt")) return;
    const one = shown[state.get("asBuilt")];
    viewer.take(one.data, readGlb(bytesOf(byId(one.id).textContent)), one.rows);
    button.setAttribute("aria-pressed", String(state.get("asBuilt")));
  });
}

/** To a pair where it is nearest, or to a finding where it is worst; `turned`: to look at it as well. */
function jump(kind, index, turned = true) {
  const pair = { kind, index };
  const one = pairsOf(data, kind)[index];
  travel.play(false);
  const hidden = new Set(state.get("hidden"));
  for (const instance of one.instances.flat()) {
    hidden.delete(limits.rows.find((key) => rows.get(key).instances.includes(instance)));
  }
  state.set({ at: one.at_mm, pair, picked: "", hidden });
  if (turned) viewer?.lookAtPair(one);
  if (viewer) byId("picture").scrollIntoView({ block: "nearest" });
}

/** Findings, and pairs that build errors can bring together. */
function wireFindings() {
  for (const kind of ["finding", "built"]) {
    for (const row of document.querySelectorAll(`[data-${kind}]`)) {
      const index = Number(row.dataset[kind]);
      const button = make("button", { type: "button", onclick: () => jump(kind, index) }, "Show");
      button.setAttribute("aria-label", `Show ${kind === "built" ? "pair" : "finding"} ${index + 1}`);
      row.append(make("td", {}, button));
    }
  }
  for (const head of document.querySelectorAll("#findings thead tr")) head.append(make("th"));
}

function wireChart() {
  if (data.curves.length === 0) {
    byId("clearances").append(make("p", {},
      `No two parts that move past each other come within ${mm(data.curves_to_mm)}.`));
    byId("tightest").hidden = true;
    return null;
  }
  byId("tightest").addEventListener("click", () => jump("pair", 0));
  const chart = new Chart(byId("chart"), data, (at) => travel.go(at));
  const lines = curveRows(data, (index) => jump("pair", index));
  const head = ["", "parts", "now, mm", "least, mm", "at drive travel, mm", ""].map((words) => make("th", {}, words));
  byId("curve-table").append(make("table", {}, make("thead", {}, make("tr", {}, ...head)),
    make("tbody", {}, ...lines.map((line) => line.row))));
  return { chart, lines };
}

function showPair() {
  const pair = pairOf(state, data);
  const holder = byId("pair");
  holder.hidden = !pair;
  if (!pair) return;
  const isThere = Math.abs(state.get("at") - pair.at_mm) < 0.01;
  const away = isThere ? "" : ` (at ${mm(pair.at_mm)}; the gate stands elsewhere now)`;
  holder.replaceChildren(
    make("span", { class: "mark a" }, pair.a.words), " and ", make("span", { class: "mark b" }, pair.b.words),
    `: ${gapWords(pair)}${away} `,
    make("button", { type: "button", class: "quiet", onclick: () => state.set({ pair: null }) }, "done"));
}

function showFacts() {
  const facts = factsOf(state.get("picked"), data, rows);
  byId("facts").hidden = facts.length === 0;
  byId("facts-list").replaceChildren(...facts.flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]));
}

function showRows() {
  const at = state.get("at");
  const pair = state.get("pair");
  const of = (kind) => (pair?.kind === kind ? pair.index : -1);
  if (charted) {
    charted.chart.show(at, of("pair"));
    charted.lines.forEach(({ row, now, curve }, index) => {
      now.textContent = clearanceWords(data, clearanceAt(curve, at));
      row.classList.toggle("chosen", index === of("pair"));
    });
  }
  for (const kind of ["finding", "built"]) {
    for (const row of document.querySelectorAll(`[data-${kind}]`)) {
      row.classList.toggle("chosen", Number(row.dataset[kind]) === of(kind));
    }
  }
}

/** The state goes to the address a moment after its last change. */
let pending = 0;
function writeAddress() {
  clearTimeout(pending);
  pending = setTimeout(() => {
    const hash = `#${addressOf(state.values, limits.rows)}`;
    if (hash !== location.hash) history.replaceState(null, "", hash);
  }, ADDRESS_AFTER_MS);
}

/** A link to a place of the page says nothing about the state. */
function readAddress() {
  if (location.hash !== "" && !location.hash.includes("=")) return;
  travel.play(false);
  const said = stateFrom(location.hash, limits);
  state.set({ ...START, ...said });
  if (said.pair && said.at === undefined) jump(said.pair.kind, said.pair.index, !said.look && !said.view);
}

const viewer = startViewer();
const travel = new Travel(data, state);
const tree = new Tree(byId("tree"), data, state, rows);
const charted = wireChart();
const remarks = new Remarks(data, state, viewer, rows);
wireFindings();
wireBuilt();
byId("find").addEventListener("input", () => tree.filter(byId("find").value));
byId("show-all").addEventListener("click", () => state.set({ hidden: new Set() }));
byId("unpick").addEventListener("click", () => state.set({ picked: "" }));
byId("print").addEventListener("click", () => window.print());
state.watch((changed) => {
  if (changed.has("at")) travel.show();
  if (changed.has("at") || changed.has("pair")) {
    showPair();
    showRows();
  }
  tree.show(changed);
  if (changed.has("picked")) {
    showFacts();
    remarks.show();
  }
  writeAddress();
});
showPair();
showRows();
showFacts();
if (location.hash.includes("=")) readAddress();
addEventListener("hashchange", readAddress);

/** To look at, for tests and for other scripts: nothing in it changes the page. */
window.leafstackReview = Object.freeze({
  at: () => state.get("at"),
  address: () => addressOf(state.values, limits.rows),
  state: () => ({ ...state.values, hidden: [...state.get("hidden")] }),
  marked: () => viewer?.marked() ?? [],
  /** Shift (mm, model's frame) of what was at the origin of a body, and its turn. */
  places: () => viewer?.stage.gate.bodies.map(({ group }) => {
    group.updateMatrixWorld();
    const { elements } = group.matrixWorld;
    return { shift_mm: toModel(elements.slice(12, 15)), turn_rad: Math.atan2(elements[1], elements[0]) };
  }) ?? [],
  corners: (instance) => viewer?.cornersOf(instance) ?? null,
  isAtRest: () => viewer?.isAtRest ?? true,
  frames: () => viewer?.stage.frames ?? 0,
  firstPictureMs: () => viewer?.firstPictureMs ?? null,
});
