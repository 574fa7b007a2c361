// What stands around the gate, entered by measures: a name, and from where to where along each way.
import { make } from "../../page/review/words.js";

const WAYS = [
  ["along", "from the latch-side post's face, in the opening direction"],
  ["across", "from the back of the fence line: towards the property, less than 0 towards the road"],
  ["up", "from the driveway at the latch-side post, on a slope, too: less than 0 lies deeper"],
];

/** A plain number as such, comma or point; what has a unit as it was typed. */
const lengthOf = (typed) => {
  const plain = typed.trim().replace(",", ".");
  return /^[-+]?\d*\.?\d+$/.test(plain) ? Number(plain) : typed.trim();
};

export class Obstacles {
  constructor(onChange) {
    this.onChange = onChange;
    this.list = [];
    this.rows = make("ul", { class: "obstacles" });
    this.name = make("input", { type: "text", "aria-label": "Its name" });
    this.ends = WAYS.map(([way]) => ["from", "to"].map((end) =>
      make("input", { type: "text", inputmode: "decimal", "aria-label": `${way}, ${end}` })));
    this.told = make("p", { class: "error", role: "alert", hidden: true });
    const field = (words, ...inputs) => make("div", { class: "measure" }, make("span", {}, words), ...inputs);
    this.element = make("div", { class: "editor" }, this.rows, make("details", {}, make("summary", {}, "Add one by its measures"),
      field("Name", this.name),
      ...WAYS.map(([way, words], i) => make("div", {}, field(`${way}, mm`, this.ends[i][0], "to", this.ends[i][1]), make("p", { class: "note" }, words))),
      this.told, make("button", { type: "button", onclick: () => this.add() }, "Add it")));
    for (const input of [this.name, ...this.ends.flat()]) {
      input.addEventListener("change", (event) => event.stopPropagation());
      input.addEventListener("keydown", (event) => {
        if (event.key !== "Enter") return;
        event.preventDefault();
        this.add();
      });
    }
  }

  show(list) {
    this.list = Array.isArray(list) ? list : [];
    this.rows.replaceChildren(...this.list.map((one, index) => {
      const remove = make("button", { type: "button", class: "quiet", onclick: () => this.onChange(this.list.filter((_, i) => i !== index)) }, "take it out");
      remove.setAttribute("aria-label", `Take out ${one.name}`);
      const [a, b] = one.box_mm;
      return make("li", {}, make("b", {}, one.name), `: ${WAYS.map(([way], i) => `${way} ${a[i]} to ${b[i]}`).join(", ")} `, remove);
    }));
  }

  add() {
    const missing = this.name.value.trim() === "" ? this.name : this.ends.flat().find((one) => one.value.trim() === "");
    this.told.hidden = !missing;
    this.told.textContent = missing ? `${missing.getAttribute("aria-label")}: nothing is given yet.` : "";
    if (missing) {
      missing.focus();
      return;
    }
    const corner = (end) => this.ends.map((pair) => lengthOf(pair[end].value));
    this.onChange([...this.list, { name: this.name.value.trim(), box_mm: [corner(0), corner(1)] }]);
    for (const input of [this.name, ...this.ends.flat()]) input.value = "";
    this.name.focus();
  }
}
