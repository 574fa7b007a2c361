// What the program says of the gate: verdict, tasks with their cures, figures, cautions.
import { make, shown } from "../../page/review/words.js";

const byId = (id) => document.getElementById(id);

export function showVerdict({ verdict, problems }, nameOf) {
  const place = byId("verdict");
  place.className = `verdict ${problems.length > 0 ? "unread" : verdict.is_ready ? (verdict.is_provided ? "provided" : "ready") : "not-ready"}`;
  place.textContent = problems.length > 0
    ? `NOT JUDGED: ${problems.length === 1 ? nameOf(problems[0].pointer) ?? "one entry" : `${problems.length} entries`} cannot be taken. The picture and figures are of the last gate that could.`
    : verdict.line;
}

/** Entries that belong to no field, why it does not fit, and warnings, hazards first. */
export function showTasks({ problems, warnings = [], misfit = [], together, report }, { onCure, onWhere, onFindings, nameOf }) {
  const lines = [];
  const toField = (pointer) => (nameOf(pointer) ? make("button", { type: "button", class: "quiet", onclick: () => onWhere(pointer) }, "show the field") : "");
  for (const one of problems) {
    const allowed = one.allowed ? `allowed: ${one.allowed}` : "";
    lines.push(make("li", { class: "against" }, [nameOf(one.pointer) ?? one.pointer, one.message, allowed, one.suggestion].filter(Boolean).join(": "), " ", toField(one.pointer)));
  }
  const findings = report?.clash?.findings ?? [];
  if (findings.length > 0) {
    const words = findings.length === 1 ? "One pair of parts meets, or comes nearer than it should: " : `${findings.length} pairs of parts meet, or come nearer than they should. The first: `;
    lines.push(make("li", { class: "against" }, words, findings[0].text ?? "", " ", make("button", { type: "button", class: "quiet", onclick: onFindings }, "show it")));
  }
  for (const line of misfit) lines.push(make("li", { class: "against" }, line));
  for (const one of [...warnings].sort((a, b) => rank(a) - rank(b))) {
    const line = make("li", { class: one.is_hazard ? "hazard" : one.tells_against ? "against" : "" },
      one.text, " ");
    if (one.where) line.append(toField(one.where));
    addCure(line, one.cure, onCure, nameOf);
    lines.push(line);
  }
  if (together?.tried > 0) {
    const line = make("li", { class: "together" }, make("b", {}, "For the whole gate: "));
    addCure(line, together, onCure, nameOf);
    lines.push(line);
  }
  byId("tasks").replaceChildren(lines.length > 0 ? make("ul", {}, ...lines) : make("p", {}, "Nothing."));
}

const rank = (one) => (one.is_hazard ? 0 : one.tells_against ? 1 : 2);

/** Cures are told as on the command line; here they are buttons, and keys have their fields' names. */
export function plainWords(words, nameOf) {
  return words.replace(/:? *--set .*$/, "").replace(/ \(--cures tries more\)/, "")
    .replace(/\/[a-z][\w/]*\w/g, (pointer) => nameOf(pointer) ?? pointer);
}

function addCure(line, cure, onCure, nameOf) {
  if (!cure || cure.tried === 0) return;
  line.append(make("span", { class: "note" }, ` ${plainWords(cure.words, nameOf)} `));
  if (cure.sets.length === 0) return;
  const words = cure.sets.map((set) => {
    const equals = set.indexOf("=");
    return `${nameOf(set.slice(0, equals)) ?? set.slice(0, equals)} ${set.slice(equals + 1)}`;
  });
  line.append(make("button", { type: "button", class: "cure", onclick: () => onCure(cure.sets), title: cure.sets.join(", ") }, `Take ${words.join(", ")}`));
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
    byId("picture").scrollIntoView({ block: "nearest" });
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
  byId("strip").classList.remove("earlier");
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
      sketch(one, site.opening_mm, present("/site/opens") === "left"), make("b", {}, words), ...facts.map((fact) => make("span", {}, fact)),
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
function sketch(one, opening, isLeft) {
  const room = one.room_total_mm, count = one.panels;
  const whole = opening + room;
  const [x, width] = [(210 * opening) / whole, (210 * room) / whole];
  return make("svg", { viewBox: "0 0 214 44", "aria-hidden": "true", class: isLeft ? "mirrored" : undefined },
    make("path", { d: `M2 40H212M${2 + x} 4V40`, class: "ground" }),
    ...Array.from({ length: count }, (_, i) => make("rect", { x: 2 + x, y: 8 + (i * 26) / Math.max(1, count), width: Math.max(2, width), height: Math.max(4, 22 / count), class: `panel p${i + 1}` })));
}
