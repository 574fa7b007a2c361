// The form: a row for each key of the gate file, as the program describes them.
import { make } from "../../page/review/words.js";

const TYPING_MS = 700;
/** Keys' last words in words: "ground_clearance_mm" is "Ground clearance". */
const UNIT_ENDING = /_(mm|deg|kg|N|Pa|kPa|s|m2|m3|mm2|mm_s|mm_s2|kg_m3|N_mm2|N_mm|years|um|kWh|W|Nm|percent)$/;
export function labelOf(pointer) {
  const key = pointer.split("/").pop().replace(/_(N_mm2|kg_m3|mm_s2|mm_s)$/, "").replace(UNIT_ENDING, "");
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
  constructor(row, onEdit) {
    Object.assign(this, { row, onEdit });
    this.id = `f${row.pointer.replace(/\W/g, "-")}`;
    this.input = this.makeInput();
    this.committed = "";
    this.hint = make("p", { class: "hint", id: `${this.id}-hint` }, `${row.meaning}. ${row.allowed}`);
    this.error = make("p", { class: "error", id: `${this.id}-error`, hidden: true });
    this.came = make("span", { class: "came" });
    this.back = make("button", { type: "button", class: "quiet back", hidden: true,
      onclick: () => this.commit("", true) }, "default");
    this.back.setAttribute("aria-label", `${labelOf(row.pointer)}: back to the default`);
    const unit = row.unit ? make("span", { class: "unit" }, row.unit) : "";
    this.element = make("div", { class: "field" },
      make("label", { for: this.id }, labelOf(row.pointer)), make("span", { class: "entry" }, this.input, unit, this.back),
      this.came, this.error, this.hint);
    this.element.dataset.pointer = row.pointer;
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
    return make("input", { ...common, type: "text", spellcheck: "false", autocomplete: "off",
      ...(isNumber ? { inputmode: "decimal" } : {}) });
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
  show(value) {
    const isSet = value && ["given", "override"].includes(value.origin);
    const words = inWords(value?.typed || value?.value);
    const shown = isSet ? words : "";
    const isBusy = document.activeElement === this.input && this.input.value.trim() !== this.committed;
    if (!isBusy && !(document.activeElement === this.input && shown === this.committed)) this.input.value = shown;
    this.committed = shown;
    const fallback = value && !isSet ? words : inWords(this.row.default);
    if (this.input.tagName === "SELECT") this.input.options[0].textContent = fallback ? `${fallback} (default)` : "not given";
    else this.input.placeholder = fallback;
    this.back.hidden = !isSet || this.row.required;
    this.came.textContent = value?.typed ? `= ${inWords(value.value)} ${this.row.unit}` : value?.origin === "computed" ? "computed" : "";
    if (value?.why) this.came.append(make("span", { class: "why" }, `: ${value.why}`));
    this.element.classList.toggle("set", Boolean(isSet));
    this.complain([]);
  }

  /** What was typed and is wrong stays in the field. */
  complain(problems) {
    const words = problems.map((one) => [one.message, one.allowed && `allowed: ${one.allowed}`, one.suggestion].filter(Boolean).join("; "));
    this.error.textContent = words.join(" ");
    this.error.hidden = words.length === 0;
    if (words.length > 0) this.input.setAttribute("aria-invalid", "true");
    else this.input.removeAttribute("aria-invalid");
  }
}

export class Form {
  constructor(holder, rows, onEdit) {
    this.holder = holder;
    this.fields = new Map(rows.map((row) => [row.pointer, new Field(row, onEdit)]));
    this.groups = [];
    const names = [...new Set(rows.map((row) => row.pointer.split("/")[1]))];
    for (const name of names) holder.append(this.group(name, rows.filter((row) => row.pointer.split("/")[1] === name)));
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

  show(values) {
    const byPointer = new Map(values.map((one) => [one.pointer, one]));
    for (const [pointer, field] of this.fields) field.show(byPointer.get(pointer));
  }

  /** Problems beside their fields; those of none are given back. */
  complain(problems) {
    for (const [pointer, field] of this.fields) field.complain(problems.filter((one) => one.pointer === pointer));
    const first = problems.find((one) => this.fields.has(one.pointer));
    if (first) this.reveal(first.pointer, false);
    return problems.filter((one) => !this.fields.has(one.pointer));
  }

  reveal(pointer, focuses = true) {
    const field = this.fields.get(pointer);
    if (!field) return false;
    for (let up = field.element; up && up !== this.holder; up = up.parentElement) if (up.tagName === "DETAILS") up.open = true;
    if (focuses) {
      field.element.scrollIntoView({ block: "center" });
      field.input.focus();
      field.input.select?.();
    }
    return true;
  }

  filter(text) {
    const words = text.toLowerCase().split(/\s+/).filter(Boolean);
    for (const [pointer, field] of this.fields) {
      const about = `${pointer} ${field.row.meaning}`.toLowerCase();
      field.element.hidden = !words.every((word) => about.includes(word));
    }
    for (const { details, more } of this.groups) {
      const shown = [...details.querySelectorAll(".field")].some((one) => !one.hidden);
      details.hidden = !shown;
      if (words.length > 0 && shown) details.open = more.open = true;
    }
  }
}
