// The form: a row for each key of the gate file, as the program describes them.
import { make } from "../../page/review/words.js";
import { linesTable, whyButton } from "./figures.js";
import { Obstacles } from "./obstacles.js";

const TYPING_MS = 700;
/** Keys' last words in words: "ground_clearance_mm" is "Ground clearance". */
const UNIT_ENDING = /_(m_s|mm|deg|kg|N|Pa|kPa|s|m2|m3|mm2|mm_s|mm_s2|kg_m3|N_mm2|N_mm|years|um|kWh|W|Nm|percent)$/;
export function labelOf(pointer) {
  const key = pointer.split("/").pop().replace(/_(N_mm2|kg_m3|mm_s2|mm_s|m_s)$/, "").replace(UNIT_ENDING, "");
  const words = key.replace(/_/g, " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}
const GROUP_WORDS = { job: "Job", site: "Site", gate: "Gate", guides: "Guides", ropes: "Ropes", drive: "Drive",
  checks: "Checks", footing: "Footing", shop: "Workshop", drawings: "Drawings", hardware: "Hardware" };
const OPEN = ["site", "gate"];

const inWords = (value) =>
  value === null || value === undefined ? "" :
  Array.isArray(value) ? (Array.isArray(value[0]) ? value.map((pair) => pair.join(" ")).join("\n") : JSON.stringify(value)) :
  typeof value === "object" ? JSON.stringify(value) :
  typeof value === "boolean" ? (value ? "yes" : "no") : String(value);

class Field {
  constructor(row, onEdit, name) {
    Object.assign(this, { row, onEdit, name });
    this.id = `f${row.pointer.replace(/\W/g, "-")}`;
    this.input = this.makeInput();
    this.committed = "";
    this.opened = new Set();
    this.hint = make("p", { class: "hint", id: `${this.id}-hint` }, `${row.meaning}. ${row.allowed}`);
    this.error = make("p", { class: "error", id: `${this.id}-error`, hidden: true });
    this.came = make("span", { class: "came" });
    this.back = make("button", { type: "button", class: "quiet back", hidden: true,
      onclick: () => this.commit("", true) }, "default");
    this.back.setAttribute("aria-label", `${name}: back to the default`);
    const unit = row.unit ? make("span", { class: "unit" }, row.unit) : "";
    this.element = make("div", { class: "field" },
      make("label", { for: this.id }, name), make("span", { class: "entry" }, this.input, unit, this.back),
      this.came, this.error, this.hint);
    this.element.dataset.pointer = row.pointer;
    if (row.pointer === "/site/obstacles") {
      this.editor = new Obstacles((list) => this.commit(list.length > 0 ? JSON.stringify(list) : "", true));
      this.element.append(this.editor.element);
    }
    this.wire();
  }

  makeInput() {
    const { field, choices } = this.row;
    const common = { id: this.id, "aria-describedby": `${this.id}-hint ${this.id}-error` };
    if (field === "choice" || field === "flag") {
      const values = field === "flag" ? ["yes", "no"] : choices;
      return make("select", common, make("option", { value: "" }), ...values.map((one) => make("option", { value: one }, one)));
    }
    if (field === "points") return make("textarea", { ...common, rows: 3, spellcheck: "false" });
    const isNumber = field === "number";
    return make("input", { ...common, type: "text", spellcheck: "false", autocomplete: "off", class: isNumber ? "number" : undefined,
      // Pads of digits on phones have no sign, "%", ":" or letters.
      ...(isNumber && !this.row.auto && !/^-/.test(this.row.allowed) && this.row.unit !== "mm/mm" ? { inputmode: "decimal" } : {}) });
  }

  wire() {
    const isChoice = this.input.tagName === "SELECT";
    this.input.addEventListener("change", () => this.commit(this.input.value, true));
    if (isChoice) return;
    this.input.addEventListener("input", () => {
      clearTimeout(this.typing);
      this.typing = setTimeout(() => this.commit(this.input.value, false), TYPING_MS);
    });
    this.input.addEventListener("focus", () => { this.visit = Symbol(this.row.pointer); });
    this.input.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && this.input.tagName === "INPUT") {
        event.preventDefault();
        this.commit(this.input.value, true);
      } else if (event.key === "Escape") {
        event.stopPropagation();
        clearTimeout(this.typing);
        this.input.value = this.committed;
      }
    });
  }

  /** What has not changed does nothing. */
  commit(typed, isWhole) {
    clearTimeout(this.typing);
    const text = this.row.field === "text" ? typed : typed.trim();
    if (text === this.committed) return;
    if (!isWhole && text === "") return; // being retyped
    this.committed = text;
    this.onEdit(this.row.pointer, text === "" ? null : text, this.visit ?? null);
  }

  /** The value in force and where it came from; what is being typed stays. */
  show(value, lines = [], written = undefined) {
    const told = JSON.stringify([value, lines, written]);
    if (told === this.told && this.error.hidden && this.committed === this.shown) return;
    this.told = told;
    const isSet = value && (["given", "override"].includes(value.origin) || written !== undefined);
    const words = inWords(value?.typed || value?.value);
    const shown = written === "auto" ? "auto" : isSet ? words : "";
    const isBusy = document.activeElement === this.input && this.input.value.trim() !== this.committed;
    if (!isBusy && !(document.activeElement === this.input && shown === this.committed)) this.input.value = shown;
    this.committed = this.shown = shown;
    const fallback = value && !isSet ? words : inWords(this.row.default);
    if (this.input.tagName === "SELECT") this.input.options[0].textContent = fallback ? `${fallback} (default)` : "not given";
    else this.input.placeholder = fallback;
    this.back.hidden = !isSet || this.row.required;
    this.came.textContent = value?.typed ? `= ${inWords(value.value)} ${this.row.unit}` : value?.origin === "computed" || written === "auto" ? `computed: ${inWords(value?.value)} ` : "";
    if (value?.origin === "computed" || value?.why) this.came.append(...whyButton(this.name, this.opened, this.reason(value, lines)));
    this.element.classList.toggle("set", Boolean(isSet));
    this.complain([]);
    this.editor?.show(value?.value);
  }

  /** What a computed value came to, by which rule, with its figures where the sheet has them, and the source. */
  reason(value, lines) {
    return make("div", {}, make("p", {}, `${inWords(value.value)} ${this.row.unit}: `, value.why || `${this.row.meaning}.`),
      lines.length > 0 ? linesTable(lines) : "", this.row.source ? make("p", { class: "note" }, `Source: ${this.row.source}`) : "");
  }

  /** What was typed and is wrong stays in the field. */
  complain(problems) {
    const words = problems.map((one) => [one.message, one.allowed && `allowed: ${one.allowed}`, one.suggestion].filter(Boolean).join("; "));
    if (words.length > 0) this.came.textContent = ""; // of the entry before
    this.error.textContent = words.join(" ");
    this.error.hidden = words.length === 0;
    if (words.length > 0) this.input.setAttribute("aria-invalid", "true");
    else this.input.removeAttribute("aria-invalid");
  }
}

/** What fields are called: where two of a group would be alike, each with its unit. */
function namesOf(rows) {
  const groupOf = (row) => row.pointer.slice(0, row.pointer.lastIndexOf("/"));
  const alike = (row) => rows.filter((other) => groupOf(other) === groupOf(row) && labelOf(other.pointer) === labelOf(row.pointer)).length > 1;
  return new Map(rows.map((row) => [row.pointer, alike(row) ? `${labelOf(row.pointer)}, ${row.unit || row.pointer.split("_").pop()}` : labelOf(row.pointer)]));
}

/** Words of everyday for those of the fields. */
const ALSO = { "/site/grade": "slope fall incline gradient", "/site/cross_grade": "slope fall incline gradient", "/site/obstacles": "drain gully tree meter box",
  "/gate/infill/kind": "bars pickets pales", "/shop/finish": "galvanised painted coat", "/checks/wind_Pa": "exposure zone pressure", "/checks/wind_speed_m_s": "exposure zone gust" };

export class Form {
  constructor(holder, rows, onEdit) {
    this.holder = holder;
    const names = namesOf(rows);
    this.fields = new Map(rows.map((row) => [row.pointer, new Field(row, onEdit, names.get(row.pointer))]));
    this.groups = [];
    const groups = [...new Set(rows.map((row) => row.pointer.split("/")[1]))];
    for (const name of groups) holder.append(this.group(name, rows.filter((row) => row.pointer.split("/")[1] === name)));
  }

  /** Those that many people fill in first; the others below "more". */
  group(name, rows) {
    const common = make("div", { class: "fields" });
    const rare = make("div", { class: "fields" });
    const more = make("details", { class: "more" }, make("summary", {}, "more"), rare);
    let last = { common: "", rare: "" };
    for (const row of rows) {
      const [box, key] = row.is_common ? [common, "common"] : [rare, "rare"];
      const above = row.pointer.split("/").slice(2, -1).map(labelOf).join(", ");
      if (above !== last[key] && above) box.append(make("h4", {}, above));
      last[key] = above;
      box.append(this.fields.get(row.pointer).element);
    }
    const details = make("details", { class: "group" }, make("summary", {}, GROUP_WORDS[name] ?? labelOf(name)), common, more);
    more.hidden = rare.children.length === 0;
    details.open = OPEN.includes(name);
    if (common.children.length === 0) more.open = true;
    this.groups.push({ details, more });
    return details;
  }

  show(values, reasons = {}, written = {}) {
    const byPointer = new Map(values.map((one) => [one.pointer, one]));
    for (const [pointer, field] of this.fields) field.show(byPointer.get(pointer), reasons[pointer], written[pointer]);
  }

  /** The key that a pointer is of or within, as far as there is a field for it. */
  keyOf(pointer) {
    for (let key = pointer; key; key = key.slice(0, key.lastIndexOf("/"))) if (this.fields.has(key)) return key;
    return null;
  }

  nameOf(pointer) {
    const key = this.keyOf(pointer);
    if (!key) return null;
    const group = key.split("/")[1];
    return `${GROUP_WORDS[group] ?? labelOf(group)}, ${this.fields.get(key).name}`;
  }

  /** Problems beside their fields, the first of which is shown. */
  complain(problems) {
    for (const [key, field] of this.fields) field.complain(problems.filter((one) => this.keyOf(one.pointer) === key));
    const first = problems.find((one) => this.keyOf(one.pointer));
    if (first) this.reveal(first.pointer, false);
  }

  reveal(pointer, focuses = true) {
    const field = this.fields.get(this.keyOf(pointer));
    if (!field) return false;
    for (let up = field.element; up && up !== this.holder; up = up.parentElement) if (up.tagName === "DETAILS") up.open = true;
    if (focuses) {
      field.element.scrollIntoView({ block: "center" });
      field.input.focus();
      field.input.select?.();
    }
    return true;
  }

  /** What was folded before a search is folded after it. */
  filter(text) {
    const words = text.toLowerCase().split(/\s+/).filter(Boolean);
    const folds = this.groups.flatMap(({ details, more }) => [details, more]);
    if (words.length > 0) this.folded ??= folds.map((one) => one.open);
    let count = 0;
    for (const [pointer, field] of this.fields) {
      const about = `${pointer} ${field.row.meaning} ${ALSO[pointer] ?? ""}`.toLowerCase();
      field.element.hidden = !words.every((word) => about.includes(word));
      count += !field.element.hidden;
    }
    const isShown = (one) => [...one.querySelectorAll(".field")].some((field) => !field.hidden);
    for (const { details, more } of this.groups) {
      details.hidden = !isShown(details);
      more.hidden = !isShown(more);
      if (words.length > 0 && !details.hidden) details.open = more.open = true;
    }
    for (const head of this.holder.querySelectorAll("h4")) {
      let next = head.nextElementSibling;
      while (next?.matches(".field[hidden]")) next = next.nextElementSibling;
      head.hidden = !next?.matches(".field");
    }
    if (words.length === 0 && this.folded) {
      folds.forEach((one, i) => { one.open = this.folded[i]; });
      this.folded = null;
    }
    const none = document.getElementById("find-none");
    none.hidden = count > 0;
    none.textContent = /price|cost|cheap/.test(text.toLowerCase())
      ? "No field says what things cost: quotations are made on the command line, from a list of prices (leafstack build --prices)."
      : "No field is about that.";
  }
}
