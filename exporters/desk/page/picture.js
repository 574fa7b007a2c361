// The gate in the picture: the review page's viewer, given another gate after every edit.
import { readGlb } from "../../page/review/scene/glb.js";
import { viewsFor } from "../../page/review/scene/camera.js";
import { State } from "../../page/review/state.js";
import { rowsOf } from "../../page/review/panels/tree.js";
import { Travel } from "../../page/review/panels/travel.js";
import { Viewer } from "../../page/review/viewer.js";
import { gapWords, pairOf } from "../../page/review/overlay.js";
import { make, mm } from "../../page/review/words.js";
import { ask, send } from "./talk.js";

const byId = (id) => document.getElementById(id);

export class Picture {
  constructor() {
    this.state = new State({ at: 0, view: "corner", look: null, hidden: new Set(), picked: "", pair: null, cut: null,
      measure: [], measuring: false, dimensions: "client", byPanel: true, person: false, shape: false });
    this.data = null;
    this.state.watch((changed) => {
      if (changed.has("at")) this.travel?.show();
      if (changed.has("at") || changed.has("pair") || changed.has("picked")) this.showNotes();
    });
    byId("show-all").addEventListener("click", () => this.state.set({ hidden: new Set() }));
  }

  /** Asks for the picture of a text: the page shows what else there is meanwhile. */
  request(text, turn) {
    const asked = Promise.all([
      ask("/scene", { turn, text }), send("/glb", { turn, text }).then((answer) => answer.arrayBuffer())]);
    asked.catch(() => {}); // told where it is waited for
    return asked;
  }

  /** Draws what was asked for; nothing where a newer state was asked about meanwhile. */
  async follow(asked, text, turn, isStill) {
    const [data, bytes] = await asked;
    if (!data || !isStill()) return;
    this.asked = { text, turn, isStill };
    this.take(data, readGlb(new Uint8Array(bytes)));
  }

  /** How the wind moves the gate that is shown, once it is wanted. */
  async loadShapes() {
    const { asked } = this;
    if (this.loading === asked) return;
    this.loading = asked;
    try {
      const shapes = await ask("/shapes", { turn: asked.turn, text: asked.text });
      if (asked !== this.asked) return;
      this.viewer.shapes = shapes;
      this.viewer.again("shape");
    } catch (error) {
      this.loading = null;
      if (!error.isLate) throw error;
    }
  }

  take(data, glb) {
    this.data = data;
    const rows = rowsOf(data);
    const { state } = this;
    if (!this.viewer && !this.isFlat) {
      try {
        this.viewer = new Viewer(byId("picture"), data, glb, state, rows);
        this.viewer.loadShapes = () => this.loadShapes();
        this.travel = new Travel(data, state);
      } catch (error) {
        this.isFlat = true;
        document.body.classList.add("flat");
        byId("no-picture").hidden = false;
        byId("why").textContent = error.message;
        this.travel ??= new Travel(data, state);
      }
    } else {
      const known = (key) => rows.has(key);
      this.viewer?.take(data, glb, rows);
      this.travel.take(data);
      state.set({ at: Math.min(state.get("at"), data.drive_travel_mm), pair: null, picked: "", measure: [], measuring: false,
        hidden: new Set([...state.get("hidden")].filter(known)) });
      if (!state.get("view") && !state.get("look")) state.set({ view: Object.keys(viewsFor(data.opening_sign))[0] });
    }
    this.showNotes();
  }

  /** The gate closed, from its corner, as an image; by an earlier one's look both are to one scale. */
  imageOf(look) {
    return this.viewer?.imageOf(look) ?? null;
  }

  /** To a finding where it is worst. */
  jump(index) {
    const one = this.data?.findings[index];
    if (!one) return;
    this.travel.play(false);
    this.state.set({ at: one.at_mm, pair: { kind: "finding", index }, picked: "" });
    this.viewer?.lookAtPair(one);
  }

  /** To the part that a remark is about, where the gate stood. */
  showRemark(remark) {
    if (!this.data) return;
    this.travel.play(false);
    const at = Math.min(this.data.drive_travel_mm, Math.max(0, remark.at_mm ?? this.state.get("at")));
    this.state.set({ at, pair: null, picked: remark.parts[0], hidden: new Set() });
    const instance = this.data.instances.findIndex((one) => one.name === remark.parts[0]);
    if (!this.viewer || instance < 0) return;
    const { low, high } = this.viewer.cornersOf(instance);
    const target = remark.point_mm ?? low.map((one, i) => (one + high[i]) / 2);
    this.state.set({ look: { yaw: -30, pitch: 20, span: 1500, target, flat: false }, view: "" });
  }

  showNotes() {
    if (!this.data) return;
    const pair = pairOf(this.state, this.data);
    byId("pair").hidden = !pair;
    if (pair) {
      byId("pair").replaceChildren(
        make("span", { class: "mark a" }, pair.a.words), " and ", make("span", { class: "mark b" }, pair.b.words),
        `: ${gapWords(pair)} `, make("button", { type: "button", class: "quiet", onclick: () => this.state.set({ pair: null }) }, "done"));
    }
    const picked = this.data.instances.find((one) => one.name === this.state.get("picked"));
    byId("picked").hidden = !picked;
    if (picked) {
      const part = this.data.parts[picked.part];
      byId("picked").textContent = [`${part.mark} ${part.name}`, part.section, part.length_mm && mm(part.length_mm, 1),
        `${part.mass_kg.toFixed(2)} kg`].filter(Boolean).join(", ");
    }
  }
}
