// What the program says of the gate: verdict, tasks with their cures, figures, cautions.
import { make, shown } from "../../page/review/words.js";

const byId = (id) => document.getElementById(id);

export function showVerdict({ verdict, problems }) {
  const place = byId("verdict");
  place.className = `verdict ${problems.length > 0 ? "unread" : verdict.is_ready ? (verdict.is_provided ? "provided" : "ready") : "not-ready"}`;
  place.textContent = problems.length > 0
    ? `NOT JUDGED: ${problems.length === 1 ? "one entry" : `${problems.length} entries`} cannot be taken. The picture and figures are of the last gate that could.`
    : verdict.line;
}

/** Entries that belong to no field, why it does not fit, and warnings, hazards first. */
export function showTasks({ problems, warnings = [], misfit = [], together }, { onCure, onWhere }) {
  const lines = [];
  for (const one of problems) {
    lines.push(make("li", { class: "against" }, [one.pointer, one.message, one.suggestion].filter(Boolean).join(": ")));
  }
  for (const line of misfit) lines.push(make("li", { class: "against" }, line));
  for (const one of [...warnings].sort((a, b) => rank(a) - rank(b))) {
    const line = make("li", { class: one.is_hazard ? "hazard" : one.tells_against ? "against" : "" },
      one.text, " ");
    if (one.where) line.append(make("button", { type: "button", class: "quiet", onclick: () => onWhere(one.where) }, "show the field"));
    addCure(line, one.cure, onCure);
    lines.push(line);
  }
  if (together?.tried > 0) {
    const line = make("li", { class: "together" }, make("b", {}, "For the whole gate: "));
    addCure(line, together, onCure);
    lines.push(line);
  }
  byId("tasks").replaceChildren(lines.length > 0 ? make("ul", {}, ...lines) : make("p", {}, "Nothing."));
}

const rank = (one) => (one.is_hazard ? 0 : one.tells_against ? 1 : 2);

function addCure(line, cure, onCure) {
  if (!cure || cure.tried === 0) return;
  line.append(make("span", { class: "note" }, ` ${cure.words} `));
  if (cure.sets.length === 0) return;
  line.append(make("button", { type: "button", class: "cure", onclick: () => onCure(cure.sets) }, `Take ${cure.sets.join(", ")}`));
}

const known = (value, unit, places = 0) => (value === null || value === undefined ? null : `${shown(value, places)} ${unit}`);

/** The figures people ask for first, each with what it says of the room, the drive, the wind. */
export function showFigures({ report, sheet = [] }) {
  const { layout, drive, clash, structure } = report;
  const rows = [
    ["Room beyond the opening", known(layout.room_total_mm ?? layout.room_mm, "mm"),
      layout.room_given_mm ? `${shown(layout.room_given_mm, 0)} mm given; what binds is the ${layout.binding}` : `what binds is the ${layout.binding}`],
    ["Panels", layout.panels.map((panel) => shown(panel.length_mm, 0)).join(" + ") + " mm", "lengths, back to front"],
    ["Moved by the drive", known(drive?.moving_mass_kg, "kg"), ""],
    ["To start it", known(drive?.required_force_N, "N"), drive ? `${shown(drive.force_N, 0)} N to keep it going` : ""],
    ["Opens in", known(drive?.opening_time_s, "s", 1), drive ? `front panel at ${shown(drive.front_speed_mm_s, 0)} mm/s` : ""],
    ["Moves in the wind", known(structure?.deflection_mm, "mm"), structure?.deflection_limit_mm ? `${shown(structure.deflection_limit_mm, 0)} mm allowed` : ""],
    ["Checked", clash ? `${clash.pairs_checked} pairs of parts` : null, "through the whole travel"],
    ["Nearest without touching", known(clash?.least_clearance_mm, "mm", 2), ""],
  ].filter(([, value]) => value);
  byId("figure-list").replaceChildren(...rows.flatMap(([what, value, more]) =>
    [make("dt", {}, what), make("dd", {}, make("b", {}, value), more ? make("span", { class: "note" }, ` ${more}`) : "")]));
  byId("sheet-lines").replaceChildren(...sheet.map((section) => make("details", {}, make("summary", {}, section.title),
    section.note ? make("p", { class: "note" }, section.note) : "",
    make("div", { class: "wide" }, make("table", {}, make("tbody", {}, ...section.lines.map((line) => make("tr", {},
      make("th", { scope: "row" }, line.what), make("td", { class: "n" }, line.value),
      make("td", {}, line.formula), make("td", { class: "note" }, line.source)))))))));
  byId("caution-list").replaceChildren(...(report.cautions ?? []).map((one) => make("li", {}, one)));
}

/** Findings one after another, docked below the picture's own place in the page. */
export class Findings {
  constructor(onJump) {
    this.onJump = onJump;
    this.all = [];
    byId("finding-before").addEventListener("click", () => this.step(-1));
    byId("finding-next").addEventListener("click", () => this.step(1));
  }

  show(clash) {
    this.all = clash?.findings ?? [];
    this.at = -1;
    for (const id of ["findings-head", "findings-dock"]) byId(id).hidden = this.all.length === 0;
    byId("finding-at").textContent = `${this.all.length} found`;
    byId("finding-text").textContent = "";
  }

  step(by) {
    this.at = (this.at + by + this.all.length + (this.at < 0 && by < 0 ? 1 : 0)) % this.all.length;
    byId("finding-at").textContent = `${this.at + 1} of ${this.all.length}`;
    byId("finding-text").textContent = this.all[this.at].text ?? `${this.all[this.at].a.mark} and ${this.all[this.at].b.mark}`;
    this.onJump(this.at);
  }
}

/** Remarks that others wrote, each with what shows it at its part. */
export function showRemarks(remarks, onShow) {
  byId("remarks-head").hidden = remarks.length === 0;
  byId("remarks").replaceChildren(...remarks.map((one) => make("li", {},
    make("b", {}, one.author), `: ${one.description || one.title} `,
    one.parts.length > 0 ? make("button", { type: "button", class: "quiet", onclick: () => onShow(one) }, `show ${one.parts[0]}`) : "",
    one.parts_gone > 0 ? make("span", { class: "note" }, ` ${one.parts_gone} of its parts gone`) : "",
    ...one.comments.map((comment) => make("p", { class: "note" }, `${comment.author}: ${comment.text}`)))));
}

/** A strip of arrangements, best first; a click takes one. Each says how it differs from the present one. */
export function showArrangements({ arrangements, recommended, site }, present, onTake) {
  const isPresent = (one) => one.set.every((set) => {
    const [pointer, value] = set.split("=");
    return (pointer === "/gate/stacking" && one.panels === 1) || String(present(pointer)) === value;
  });
  const own = arrangements.find(isPresent);
  byId("strip").replaceChildren(...arrangements.map((one, index) => {
    const words = `${one.panels} panel${one.panels > 1 ? `s, ${one.stacking}` : ""}; ${one.mount}; ${one.motor} motor`;
    const judged = one.verdict?.ready === true ? "ready" : one.verdict?.ready === false ? "not ready" : "not judged";
    const facts = [one.fits ? `fits, ${judged}` : "does not fit", `room ${shown(one.room_total_mm, 0)} mm`,
      one.mass_kg ? `${shown(one.mass_kg, 0)} kg` : "", one.drive ? `${shown(one.drive.required_force_N, 0)} N to start` : ""].filter(Boolean);
    return make("button", { type: "button", class: `card${one.fits ? "" : " misfit"}`, "aria-pressed": String(one === own), onclick: () => onTake(one.set) },
      sketch(one, site.opening_mm), make("b", {}, words), ...facts.map((fact) => make("span", {}, fact)),
      make("span", { class: "note" }, one === own ? "as it is now" : differenceOf(one, own)),
      index === recommended ? make("span", { class: "first" }, "comes first") : "");
  }));
}

/** In words, against the present one. */
function differenceOf(one, own) {
  if (!own) return "";
  const rows = [["mm of room", one.room_total_mm - own.room_total_mm], ["kg", (one.mass_kg ?? 0) - (own.mass_kg ?? 0)],
    ["N to start", (one.drive?.required_force_N ?? 0) - (own.drive?.required_force_N ?? 0)]];
  const words = rows.map(([unit, by]) => [unit, Math.round(by)]).filter(([, by]) => by !== 0)
    .map(([unit, by]) => `${Math.abs(by)} ${unit} ${by > 0 ? "more" : "less"}`);
  return words.length > 0 ? words.join(", ") : "as much of everything";
}

/** Panels parked behind each other beside the opening, to scale along the track. */
function sketch(one, opening) {
  const room = one.room_total_mm, count = one.panels;
  const whole = opening + room;
  const [x, width] = [(210 * opening) / whole, (210 * room) / whole];
  return make("svg", { viewBox: "0 0 214 44", "aria-hidden": "true" },
    make("path", { d: `M2 40H212M${2 + x} 4V40`, class: "ground" }),
    ...Array.from({ length: count }, (_, i) => make("rect", { x: 2 + x, y: 8 + (i * 26) / Math.max(1, count), width: Math.max(2, width), height: Math.max(4, 22 / count), class: `panel p${i + 1}` })));
}
