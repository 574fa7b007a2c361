// The parts by panel: one row a mark. Rows and picture pick each other; rows hide and show.
import { rowKey } from "../state.js";
import { make, mm, panelWords, shown } from "../words.js";

/** Rows by panel: what stands still last, as it is looked for least. */
export function rowsOf(data) {
  const rows = new Map();
  data.instances.forEach((instance, index) => {
    const part = data.parts[instance.part];
    const key = rowKey(part.mark, instance.panel);
    if (!rows.has(key)) rows.set(key, { key, part, panel: instance.panel, instances: [] });
    rows.get(key).instances.push(index);
  });
  return rows;
}

/** Instances that a pick names: one by its name, or all of a row. */
export function instancesOf(picked, data, rows) {
  if (!picked) return [];
  if (rows.has(picked)) return rows.get(picked).instances;
  const index = data.instances.findIndex((one) => one.name === picked);
  return index < 0 ? [] : [index];
}

export function rowOfInstance(data, index) {
  const instance = data.instances[index];
  return rowKey(data.parts[instance.part].mark, instance.panel);
}

export class Tree {
  constructor(holder, data, state, rows) {
    Object.assign(this, { holder, data, state, rows });
    this.elements = new Map();
    this.groups = [];
    const panels = [...data.panels.map((panel) => panel.number), 0];
    for (const panel of panels) holder.append(this.group(panel));
    this.show(new Set(["hidden", "picked"]));
  }

  group(panel) {
    const own = [...this.rows.values()].filter((row) => row.panel === panel);
    const count = own.reduce((total, row) => total + row.instances.length, 0);
    const words = panelWords(panel) + (panel === 1 ? ", driven" : "");
    const box = make("input", { type: "checkbox", "aria-label": `Show ${words}`,
      onchange: () => this.setHidden(own, !box.checked) });
    const only = make("button", { type: "button", class: "quiet", "aria-label": `Show only ${words}`,
      onclick: () => this.isolate(own) }, "only");
    const list = make("ul", {}, ...own.map((row) => this.row(row)));
    const details = make("details", { open: panel === 1 },
      make("summary", {}, make("b", {}, words), ` ${count} parts`), list);
    this.groups.push({ box, own, details });
    return make("div", { class: "group" }, make("div", { class: "lead" }, box, only), details);
  }

  row(row) {
    const { part, key, instances } = row;
    const box = make("input", { type: "checkbox", "aria-label": `Show ${part.mark} ${part.name}`,
      onchange: () => this.setHidden([row], !box.checked) });
    const pick = make("button", { type: "button", class: "pick", "aria-pressed": "false",
      onclick: () => this.state.set({ picked: this.state.get("picked") === key ? "" : key }) },
      make("b", {}, part.mark), ` ${part.name}`,
      instances.length > 1 ? make("span", { class: "times" }, ` × ${instances.length}`) : "");
    const only = make("button", { type: "button", class: "quiet", "aria-label": `Show only ${part.mark}`,
      onclick: () => this.isolate([row]) }, "only");
    const item = make("li", { "data-row": key }, box, pick, only);
    this.elements.set(key, { item, box, pick, words: `${part.mark} ${part.name}`.toLowerCase() });
    return item;
  }

  setHidden(rows, isHidden) {
    const hidden = new Set(this.state.get("hidden"));
    for (const row of rows) isHidden ? hidden.add(row.key) : hidden.delete(row.key);
    this.state.set({ hidden });
  }

  isolate(rows) {
    const kept = new Set(rows.map((row) => row.key));
    this.state.set({ hidden: new Set([...this.rows.keys()].filter((key) => !kept.has(key))) });
  }

  /** Leaves only rows that have the words in mark or name. */
  filter(text) {
    const wanted = text.trim().toLowerCase();
    for (const { item, words } of this.elements.values()) item.hidden = wanted !== "" && !words.includes(wanted);
    for (const { own, details } of this.groups) {
      if (wanted !== "") details.open = own.some((row) => !this.elements.get(row.key).item.hidden);
    }
  }

  show(changed) {
    if (changed.has("hidden")) {
      const hidden = this.state.get("hidden");
      for (const [key, { box }] of this.elements) box.checked = !hidden.has(key);
      for (const { box, own } of this.groups) {
        const count = own.filter((row) => hidden.has(row.key)).length;
        box.checked = count === 0;
        box.indeterminate = count > 0 && count < own.length;
      }
    }
    if (changed.has("picked")) {
      const [first] = instancesOf(this.state.get("picked"), this.data, this.rows);
      const chosen = first === undefined ? "" : rowOfInstance(this.data, first);
      for (const [key, { item, pick }] of this.elements) {
        item.classList.toggle("chosen", key === chosen);
        pick.setAttribute("aria-pressed", String(key === chosen));
      }
      if (chosen) this.reveal(chosen);
    }
  }

  /** Into sight within the list; the page itself stays where it is. */
  reveal(key) {
    const { item } = this.elements.get(key);
    item.closest("details").open = true;
    const { holder } = this;
    const inside = item.getBoundingClientRect().top - holder.getBoundingClientRect().top;
    if (inside < 0 || inside > holder.clientHeight - item.clientHeight) {
      holder.scrollTop += inside - holder.clientHeight / 3;
    }
  }
}

/** What is known of what is picked, as rows of words. */
export function factsOf(picked, data, rows) {
  const instances = instancesOf(picked, data, rows);
  if (instances.length === 0) return [];
  const instance = data.instances[instances[0]];
  const part = data.parts[instance.part];
  const panel = data.panels.find((one) => one.number === instance.panel);
  const one = instances.length === 1 && rows.get(rowOfInstance(data, instances[0])).instances.length > 1;
  return [
    ["mark", one ? instance.name : part.mark],
    ["part", part.name],
    ["on", panelWords(instance.panel).toLowerCase() + (panel ? `, goes ${shown(panel.speed_ratio)} × the drive` : "")],
    ["section", part.section],
    ["material", part.material],
    ["length", part.length_mm > 0 ? mm(part.length_mm) : ""],
    ["mass", part.mass_kg > 0 ? `${shown(part.mass_kg, 3)} kg each` : ""],
    ["here", instances.length > 1 ? `${instances.length} pieces` : ""],
  ].filter(([, value]) => value !== "");
}
