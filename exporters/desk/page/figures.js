// The figures that people ask for first, each with where it comes from, one click away; and two states
// of the gate side by side.
import { make, shown } from "../../page/review/words.js";

const byId = (id) => document.getElementById(id);

export const valueWords = ({ value, unit, places }) => `${shown(value, places)} ${unit}`;

/** Lines of {what, formula, value, source} as a table. */
export function linesTable(lines) {
  return make("div", { class: "wide" }, make("table", { class: "lines" }, make("tbody", {}, ...lines.map((line) => make("tr", {},
    make("th", { scope: "row" }, line.what), make("td", { class: "n" }, line.value),
    make("td", {}, line.formula), make("td", { class: "note" }, line.source))))));
}

/** A button that shows and hides what it is given. What was open before stays open. */
export function whyButton(name, kept, content) {
  const place = make("div", { class: "reason", hidden: !kept.has(name) }, content);
  const button = make("button", { type: "button", class: "quiet", "aria-expanded": String(kept.has(name)), onclick: () => {
    place.hidden = !place.hidden;
    button.setAttribute("aria-expanded", String(!place.hidden));
    if (place.hidden) kept.delete(name);
    else kept.add(name);
  } }, "why");
  button.setAttribute("aria-label", `Why: ${name}`);
  return [button, place];
}

const open = new Set();

export function showFigures({ figures, sheet = [], report }) {
  byId("figure-list").replaceChildren(...figures.flatMap((one) => {
    const [button, place] = one.why.length > 0 ? whyButton(one.what, open, linesTable(one.why)) : ["", ""];
    return [make("dt", {}, one.what), make("dd", { "data-figure": one.id }, make("b", {}, valueWords(one)), " ",
      one.note ? make("span", { class: "note" }, `${one.note} `) : "", button, place)];
  }));
  // Hundreds of lines, made once somebody wants them.
  const fill = () => byId("sheet").open && byId("sheet-lines").replaceChildren(...sheet.map((section) => make("details", {}, make("summary", {}, section.title),
    section.note ? make("p", { class: "note" }, section.note) : "", linesTable(section.lines))));
  byId("sheet").ontoggle = fill;
  fill();
  byId("caution-list").replaceChildren(...(report.cautions ?? []).map((one) => make("li", {}, one)));
}

const entryWords = (value) => (value === null || value === undefined ? "" : typeof value === "object" ? JSON.stringify(value) : String(value));

/** A state that was put beside, and the present one: pictures to one scale, figures, entries that differ. */
export class Beside {
  constructor({ picture, present, goBack, labelOf }) {
    Object.assign(this, { picture, present, goBack, labelOf, kept: null });
    byId("put-beside").addEventListener("click", () => this.keep());
    byId("beside-away").addEventListener("click", () => this.away());
    byId("beside-back").addEventListener("click", () => this.goBack(this.kept.text));
    this.stale = false;
  }

  keep() {
    const now = this.present();
    if (!now) return;
    this.kept = { ...now, image: this.picture.imageOf(null) };
    this.kept.look = this.kept.image?.look;
    byId("beside").hidden = false;
    this.show();
    byId("beside").scrollIntoView({ block: "nearest" });
    byId("beside-back").focus();
  }

  away() {
    this.kept = null;
    byId("beside").hidden = true;
    byId("put-beside").focus();
  }

  /** After every edit. */
  show() {
    const { kept } = this;
    const now = this.present();
    if (!kept || !now) return;
    const image = this.picture.imageOf(kept.look);
    const column = (name, state, picture) => make("figure", {}, make("figcaption", {}, make("b", {}, name)),
      picture ? make("img", { src: picture.address, alt: `${name}, closed` }) : "",
      make("p", { class: `verdict ${state.answer.verdict.is_ready ? "ready" : "not-ready"}` }, state.answer.verdict.line));
    byId("beside-pictures").replaceChildren(column("Put beside", kept, kept.image), column("As it is now", now, image));
    byId("beside-back").disabled = kept.text === now.text;
    byId("beside-figures").replaceChildren(this.figures(kept, now), this.entries(kept, now));
  }

  figures(kept, now) {
    const ids = [...new Set([...kept.answer.figures, ...now.answer.figures].map((one) => one.id))];
    const rows = ids.map((id) => {
      const [a, b] = [kept, now].map((state) => state.answer.figures.find((one) => one.id === id));
      const by = a && b ? Number((b.value - a.value).toFixed(a.places)) : null;
      const words = by === null ? "" : by === 0 ? "the same" : `${shown(Math.abs(by), a.places)} ${a.unit} ${by > 0 ? "more" : "less"}`;
      return make("tr", { class: by === 0 ? "" : "differs" }, make("th", { scope: "row" }, (a ?? b).what),
        ...[a, b].map((one) => make("td", { class: "n" }, one ? valueWords(one) : "none")), make("td", {}, words));
    });
    return table(["", "beside", "now", "now, against beside"], rows);
  }

  /** Keys of the gate file that came to something else. */
  entries(kept, now) {
    const before = new Map(kept.answer.values.map((one) => [one.pointer, one]));
    const rows = now.answer.values.filter((one) => entryWords(one.value) !== entryWords(before.get(one.pointer)?.value))
      .map((one) => make("tr", {}, make("th", { scope: "row" }, this.labelOf(one.pointer), make("span", { class: "note" }, ` ${one.pointer}`)),
        make("td", {}, entryWords(before.get(one.pointer)?.value)), make("td", {}, entryWords(one.value))));
    return rows.length > 0 ? table(["entries that differ", "beside", "now"], rows) : make("p", { class: "note" }, "No entry differs.");
  }
}

const table = (heads, rows) => make("div", { class: "wide" }, make("table", {},
  make("thead", {}, make("tr", {}, ...heads.map((words) => make("th", { scope: "col" }, words)))), make("tbody", {}, ...rows)));
