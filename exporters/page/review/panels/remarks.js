// Remarks: those that were read, shown at their parts, and new ones, which leave the page as BCF.
import { bcfOf, newGuid } from "../bcf.js";
import { toModel } from "../scene/motion.js";
import { instancesOf } from "./tree.js";
import { make, mm } from "../words.js";

const EYE_AWAY_MM = 2500;
const TITLE_CHARACTERS = 60;
const byId = (id) => document.getElementById(id);
const middleOf = ({ low, high }) => low.map((one, i) => (one + high[i]) / 2);

export class Remarks {
  constructor(data, state, viewer, rows) {
    Object.assign(this, { data, state, viewer, rows });
    this.added = [];
    data.remarks.forEach((remark, index) => {
      const row = document.querySelector(`[data-remark="${index}"]`);
      row.append(make("td", {}, this.showButton(remark, index + 1)));
    });
    for (const head of document.querySelectorAll("#remark-rows thead tr")) head.append(make("th"));
    byId("remark-new").hidden = !viewer;
    byId("remark-text").addEventListener("input", () => this.show());
    byId("remark-by").addEventListener("input", () => this.show());
    byId("remark-add").addEventListener("click", () => this.add());
    byId("remark-save").addEventListener("click", () => this.save());
  }

  showButton(remark, number) {
    const names = remark.parts.filter((name) => instancesOf(name, this.data, this.rows).length > 0);
    const button = make("button", { type: "button", disabled: names.length === 0 && remark.at_mm === null,
      onclick: () => this.goTo(remark, names) }, "Show");
    button.setAttribute("aria-label", `Show remark ${number}`);
    return button;
  }

  goTo(remark, names) {
    const changes = { pair: null, picked: names[0] ?? "", hidden: new Set() };
    if (remark.at_mm !== null) changes.at = Math.min(this.data.drive_travel_mm, Math.max(0, remark.at_mm));
    this.state.set(changes);
    if (!this.viewer) return;
    const [instance] = instancesOf(names[0], this.data, this.rows);
    const target = remark.point_mm ?? (instance === undefined ? null : middleOf(this.viewer.cornersOf(instance)));
    if (target) this.state.set({ look: { yaw: -30, pitch: 20, span: 1500, target, flat: false }, view: "" });
    byId("picture").scrollIntoView({ block: "nearest" });
  }

  /** One that is picked, by its name; of a row of alike parts the first. */
  picked() {
    const [instance] = instancesOf(this.state.get("picked"), this.data, this.rows);
    return instance;
  }

  show() {
    const instance = this.picked();
    byId("remark-part").textContent = instance === undefined ? "no part is picked"
      : `${this.data.instances[instance].name} ${this.data.parts[this.data.instances[instance].part].name}`;
    const isReady = instance !== undefined && byId("remark-text").value.trim() !== "" && byId("remark-by").value.trim() !== "";
    byId("remark-add").disabled = !isReady;
  }

  add() {
    const instance = this.picked();
    const words = byId("remark-text").value.trim().replace(/\s+/g, " ");
    const point_mm = middleOf(this.viewer.cornersOf(instance));
    const axes = this.viewer.stage.camera.axes();
    const toEye = toModel(axes.eye.toArray()).map((one) => one / 1000);
    const remark = {
      guid: newGuid(), view: newGuid(), title: words.length > TITLE_CHARACTERS ? `${words.slice(0, TITLE_CHARACTERS)} …` : words,
      description: words, author: byId("remark-by").value.trim(), date: new Date().toISOString().replace(/\.\d+Z/, "Z"),
      parts: [this.data.instances[instance].name], ifc_guids: [this.data.instances[instance].guid],
      at_mm: this.state.get("at"), point_mm,
      camera: { eye: point_mm.map((one, i) => one + EYE_AWAY_MM * toEye[i]), direction: toEye.map((one) => -one),
        up: toModel(axes.up.toArray()).map((one) => one / 1000) },
    };
    this.added.push(remark);
    const number = this.data.remarks.length + this.added.length;
    byId("no-remarks")?.remove();
    if (!byId("remark-added")) {
      byId("remark-rows").append(make("table", {}, make("thead", {}, make("tr", {},
        ...["no.", "new remark", "about", "by", "at", ""].map((head) => make("th", {}, head)))), make("tbody", { id: "remark-added" })));
    }
    byId("remark-added").append(make("tr", {}, make("td", {}, String(number)), make("td", {}, words), make("td", {}, remark.parts[0]),
      make("td", {}, remark.author), make("td", { class: "n" }, mm(remark.at_mm)), make("td", {}, this.showButton(remark, number))));
    byId("remark-text").value = "";
    byId("remark-save").hidden = false;
    this.show();
  }

  save() {
    const link = make("a", { href: URL.createObjectURL(bcfOf(this.added, document.querySelector("h1").textContent)), download: "remarks.bcf" });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  }
}
