// The picture with its buttons: follows the state, and changes it by clicks.
import { Vector3 } from "three";
import { atClosed, toModel, toScene } from "./scene/motion.js";
import { dimensionsOf, drawOverlay, gapEnds, measuredWords, overlayLines, pairOf } from "./overlay.js";
import { fillPrint } from "./print.js";
import { Stage } from "./scene/stage.js";
import { viewsFor } from "./scene/camera.js";
import { wireControls } from "./controls.js";
import { instancesOf } from "./panels/tree.js";
import { make, mm } from "./words.js";

const SNAP_PX = 11;
const SAME_PLACE_MM = 0.01;
const PAIR_SPANS_MM = [110, 1600], LEAST_OVERLAP_SPAN_MM = 420;
const SPANS_PER_GAP = 14;
const CUT_WORDS = { x: "X, along the track", y: "Y, across it", z: "Z, height" };
/** A frame that takes longer makes the next ones lighter, step by step, while something moves. */
const SLOW_MS = 40;
const LEVELS = [
  { ratio: 1, light: false }, { ratio: 1, light: true }, { ratio: 0.7, light: true }, { ratio: 0.5, light: true },
];
/** Frames further apart than this are no motion; at rest the picture is drawn once more, finely. */
const MOTION_MS = 400, REST_MS = 220;
const FINE_RATIO = 2;
/** What is left out in a light picture would be missed where it is nearer. */
const LIGHT_FROM_MM_PER_PX = 4;
const byId = (id) => document.getElementById(id);

/** In words, with what brings the gate to the nearest position that was worked out. */
function shapeWords(shapes, nearest, there, go) {
  if (!shapes) return ["The frame is being looked at."];
  if (!nearest) return ["No frame could be made of this gate: nothing is known of how the wind moves it."];
  if (!there) {
    return ["In the wind the gate was worked out closed, half open and parked. ",
      make("button", { type: "button", onclick: () => go(nearest.at_mm) }, `Show it ${nearest.state}`)];
  }
  return [make("b", {}, `${there.case}: `), `moves up to ${mm(there.most_mm, 1)} across the track, ${mm(there.limit_mm, 0)} allowed; `,
    there.times > 1 ? `drawn ${there.times} times as large` : "drawn to scale", ". Weight and wind without factors; an aid, not a structural design."];
}

export class Viewer {
  constructor(holder, data, glb, state, rows) {
    Object.assign(this, { holder, data, state, rows });
    this.canvas = byId("canvas");
    this.overlay = byId("overlay");
    this.stage = new Stage(this.canvas, data, glb);
    this.views = viewsFor(data.opening_sign);
    this.level = 0;
    this.quality = { ratio: 1, light: false };
    this.dirty = new Set(["at", "hidden", "picked", "pair", "cut", "byPanel", "view", "look", "dimensions", "measure", "person", "shape"]);
    this.shapes = data.shapes ?? null;
    wireControls(this.canvas, this.stage.camera, {
      onLook: (look) => state.set({ look, view: "" }),
      onClick: (event) => this.click(event),
    });
    this.wireButtons();
    this.wireCut();
    state.watch((changed) => {
      for (const key of changed) this.dirty.add(key);
      this.ask();
    });
    this.canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      byId("lost").hidden = false;
    });
    this.canvas.addEventListener("webglcontextrestored", () => {
      byId("lost").hidden = true;
      this.stage.clear();
      this.ask();
    });
    new ResizeObserver(() => this.resize()).observe(holder);
    addEventListener("beforeprint", () => this.print());
    this.resize();
    this.drawNow();
    this.firstPictureMs = performance.now();
  }

  /** Another gate in the same picture: the look stays. */
  take(data, glb, rows) {
    Object.assign(this, { data, rows });
    this.stage.take(data, glb);
    this.stage.gate.lighten(this.quality.light);
    this.views = viewsFor(data.opening_sign);
    this.shapes = data.shapes ?? null;
    for (const key of ["at", "hidden", "picked", "pair", "cut", "byPanel", "measure", "dimensions", "person", "shape"]) this.dirty.add(key);
    this.dirty.add(this.state.get("view") ? "view" : "look");
    this.ask();
  }

  wireButtons() {
    for (const [name, view] of Object.entries(this.views)) {
      byId("views").append(make("button", { type: "button", "data-view": name,
        onclick: () => this.state.set({ view: name }) }, view.words));
    }
    const flip = (id, key, extra = () => ({})) => byId(id).addEventListener("click", () => {
      const on = !this.state.get(key);
      this.state.set({ [key]: on, ...extra(on) });
    });
    byId("dimensions").addEventListener("change", () => this.state.set({ dimensions: byId("dimensions").value }));
    flip("person", "person");
    flip("shape", "shape", (on) => (on ? { pair: null } : {}));
    flip("by-panel", "byPanel");
    flip("measure", "measuring", () => ({ measure: [] }));
    addEventListener("keydown", (event) => {
      const isTyping = event.target.matches?.("input:not([type=range]):not([type=checkbox]), select, textarea");
      if (isTyping || event.ctrlKey || event.altKey || event.metaKey) return;
      const view = byId("letters").checked && Object.keys(this.views)[Number(event.key) - 1];
      if (view) this.state.set({ view });
      if (event.key === "Escape") this.state.set({ pair: null, picked: "", measure: [], measuring: false });
    });
  }

  wireCut() {
    const axis = byId("cut-axis");
    for (const [key, words] of Object.entries(CUT_WORDS)) axis.append(make("option", { value: key }, words));
    axis.addEventListener("change", () => {
      this.cut(axis.value ? { axis: axis.value, at: this.cutStart(axis.value), flipped: axis.value === "x" && this.data.opening_sign < 0 } : null);
    });
    byId("cut-at").addEventListener("input", () => {
      this.state.set({ cut: { ...this.state.get("cut"), at: Number(byId("cut-at").value) } });
    });
    byId("cut-typed").addEventListener("change", () => {
      const cut = this.state.get("cut");
      const typed = this.cutSign(cut.axis) * byId("cut-typed").valueAsNumber;
      const [low, high] = this.cutRange(cut.axis);
      this.state.set({ cut: { ...cut, at: Number.isFinite(typed) ? Math.min(high, Math.max(low, typed)) : cut.at } });
      this.showCut();
    });
    byId("cut-flip").addEventListener("click", () => {
      const cut = this.state.get("cut");
      this.cut({ ...cut, flipped: !cut.flipped });
    });
  }

  /** Cuts, and looks square at it from the side that is gone. */
  cut(cut) {
    if (!cut) {
      this.state.set({ cut });
      return;
    }
    const [yaw, pitch] = { x: [cut.flipped ? -90 : 90, 0], y: [cut.flipped ? 0 : 180, 0], z: [0, cut.flipped ? -90 : 90] }[cut.axis];
    const { camera, size } = this.stage;
    camera.aspect = size[0] / size[1];
    this.state.set({ cut, view: "", look: camera.fitted({ yaw, pitch, flat: true }, this.stage.viewBox()) });
  }

  /** Through the front panel, where it is now. */
  cutStart(axis) {
    const front = Math.max(...this.data.panels.map((panel) => panel.number));
    const { min, max } = this.stage.boxOf(front);
    const middle = toModel(min.clone().add(max).multiplyScalar(0.5).toArray())["xyz".indexOf(axis)];
    const [low, high] = this.cutRange(axis);
    return Math.min(high, Math.max(low, Math.round(middle)));
  }

  /** Along the track sections count up from the latch post, for either hand. */
  cutSign(axis) {
    return axis === "x" ? this.data.opening_sign : 1;
  }

  /** Where a section along an axis meets the gate. */
  cutRange(axis) {
    const [a, b] = [toModel(this.stage.box.min.toArray()), toModel(this.stage.box.max.toArray())];
    const index = "xyz".indexOf(axis);
    return index < 0 ? [0, 0] : [Math.floor(Math.min(a[index], b[index])), Math.ceil(Math.max(a[index], b[index]))];
  }

  resize() {
    this.applyQuality();
    this.dirty.add(this.state.get("view") ? "view" : "look");
    this.ask();
  }

  /** What a key of the state shows has changed without it. */
  again(key) {
    this.dirty.add(key);
    this.ask();
  }

  ask() {
    this.isAtRest = false;
    this.asked ||= requestAnimationFrame((now) => {
      this.asked = 0;
      this.keepUp(now);
      this.drawNow();
      clearTimeout(this.resting);
      this.isAtRest = this.quality.ratio === FINE_RATIO && !this.quality.light;
      if (!this.isAtRest) this.resting = setTimeout(() => this.drawFinely(), REST_MS);
    });
  }

  /** In motion, as light as it takes; else in full, and a single change of a fine picture finely. */
  keepUp(now) {
    const took = now - (this.lastFrame ?? -MOTION_MS);
    const isMoving = took < MOTION_MS;
    this.lastFrame = now;
    this.pace = isMoving && this.pace ? 0.7 * this.pace + 0.3 * took : SLOW_MS / 2;
    if (this.pace > SLOW_MS && this.level < LEVELS.length - 1) {
      ++this.level;
      this.pace = SLOW_MS / 2;
    }
    if (!isMoving && this.quality.ratio === FINE_RATIO) return; // another size would take longer than it saves
    const isNear = this.state.get("look")?.span / this.holder.clientHeight < LIGHT_FROM_MM_PER_PX;
    const { ratio, light } = isMoving ? LEVELS[this.level] : LEVELS[0];
    this.setQuality({ ratio, light: light && !isNear });
  }

  drawFinely() {
    this.setQuality({ ratio: FINE_RATIO, light: false });
    this.drawNow();
    this.isAtRest = true;
  }

  setQuality(quality) {
    const { ratio, light } = this.quality;
    if (quality.ratio === ratio && quality.light === light) return;
    this.quality = quality;
    this.applyQuality();
  }

  applyQuality() {
    const { ratio, light } = this.quality;
    const own = Math.min(window.devicePixelRatio || 1, 2);
    this.stage.resize(Math.max(1, this.holder.clientWidth), Math.max(1, this.holder.clientHeight), Math.min(own * ratio, 3));
    this.stage.gate.lighten(light);
  }

  drawNow() {
    const changed = this.dirty;
    this.dirty = new Set();
    const { state, stage } = this;
    if (changed.has("byPanel")) stage.paint(state.get("byPanel"));
    if (changed.has("hidden")) this.showHidden();
    if (changed.has("picked") || changed.has("pair")) this.showMarks();
    if (changed.has("cut")) this.showCut();
    if (changed.has("at")) stage.gate.move(state.get("at"));
    if (changed.has("person")) stage.person.visible = state.get("person");
    if (["shape", "at", "pair", "picked"].some((key) => changed.has(key))) this.showShape();
    if (["view", "look", "dimensions", "person"].some((key) => changed.has(key))) this.showLook();
    this.showButtons();
    stage.draw();
    const left = drawOverlay(this.overlay, stage, overlayLines(state, this.data));
    byId("left-out").hidden = left === 0;
    byId("left-out").textContent = `${left} more ${left === 1 ? "figure has" : "figures have"} no room here: come nearer, or turn the gate.`;
  }

  /** The wind's movement of the position that the gate stands in: closed, half open, parked. */
  showShape() {
    const { state, stage } = this;
    const on = state.get("shape");
    if (on && !this.shapes) this.loadShapes?.();
    const nearest = on && this.shapes?.length > 0
      ? this.shapes.reduce((a, b) => (away(a) <= away(b) ? a : b)) : null;
    function away(one) {
      return Math.abs(one.at_mm - state.get("at"));
    }
    const there = nearest && away(nearest) < SAME_PLACE_MM ? nearest : null;
    stage.bent.show(there);
    stage.fade(Boolean(there) || Boolean(pairOf(state, this.data)));
    byId("shape-words").hidden = !on;
    byId("shape-words").replaceChildren(...(on ? shapeWords(this.shapes, nearest, there, (at) => state.set({ at })) : []));
  }

  showHidden() {
    const hidden = this.state.get("hidden");
    const gone = new Set([...hidden].flatMap((key) => this.rows.get(key)?.instances ?? []));
    this.stage.gate.show((instance) => !gone.has(instance));
    byId("show-all").hidden = hidden.size === 0;
  }

  /** Instances marked: of a pair the one and the other, else what is picked. */
  marked() {
    const pair = pairOf(this.state, this.data);
    if (pair) return pair.instances.flat().map((instance) => this.data.instances[instance].name);
    return instancesOf(this.state.get("picked"), this.data, this.rows).map((one) => this.data.instances[one].name);
  }

  showMarks() {
    const pair = pairOf(this.state, this.data);
    const picked = instancesOf(this.state.get("picked"), this.data, this.rows);
    const [first, second] = pair ? pair.instances.map((one) => [one].flat()) : [picked, []];
    this.stage.gate.mark("first", first, this.stage.materials.marks[0]);
    this.stage.gate.mark("second", second, this.stage.materials.marks[1]);
  }

  showCut() {
    const cut = this.state.get("cut");
    this.stage.cut(cut);
    byId("cut-axis").value = cut?.axis ?? "";
    byId("cut-more").hidden = !cut;
    if (!cut) return;
    const [low, high] = this.cutRange(cut.axis);
    Object.assign(byId("cut-at"), { min: low, max: high, value: cut.at });
    byId("cut-typed").value = this.cutSign(cut.axis) * cut.at;
  }

  showLook() {
    const view = this.state.get("view");
    if (view) this.state.values.look = this.fit(view); // no change of the view, but what it comes to
    this.stage.look(this.state.get("look"));
  }

  /** The look of a view by name, for the picture's shape. */
  fit(name) {
    const { camera } = this.stage;
    camera.aspect = this.stage.size[0] / this.stage.size[1];
    return camera.fitted(this.views[name], this.stage.viewBox(dimensionsOf(this.state, this.data)));
  }

  showButtons() {
    for (const button of byId("views").children) {
      button.setAttribute("aria-pressed", String(button.dataset.view === this.state.get("view")));
    }
    const press = (id, key) => byId(id).setAttribute("aria-pressed", String(this.state.get(key)));
    byId("dimensions").value = this.state.get("dimensions");
    press("person", "person");
    press("shape", "shape");
    press("by-panel", "byPanel");
    const isMeasuring = this.state.get("measuring") || this.state.get("measure").length > 0;
    byId("measure").setAttribute("aria-pressed", String(isMeasuring));
    byId("measured").hidden = !isMeasuring;
    if (isMeasuring) byId("measured").textContent = measuredWords(this.state, this.data);
    this.canvas.classList.toggle("measuring", this.state.get("measuring"));
  }

  click(event) {
    const box = this.canvas.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    const hit = this.stage.hit((2 * x) / box.width - 1, 1 - (2 * y) / box.height);
    if (this.state.get("measuring")) {
      if (hit) this.addMeasured(hit, x, y);
      return;
    }
    this.state.set({ picked: hit ? this.data.instances[hit.instance].name : "", pair: null });
  }

  /** The corner under the pointer, or the point of the face there. */
  addMeasured(hit, x, y) {
    const near = hit.corners
      .map((corner) => ({ corner, at: this.stage.pixel(corner) }))
      .map((one) => ({ ...one, away: Math.hypot(one.at.x - x, one.at.y - y) }))
      .sort((p, q) => p.away - q.away)[0];
    const point = toModel((near.away <= SNAP_PX ? near.corner : hit.point).toArray());
    const end = { body: hit.body, point: atClosed(this.data.bodies[hit.body], this.state.get("at"), point) };
    const before = this.state.get("measure");
    const measure = before.length === 1 ? [...before, end] : [end];
    this.state.set({ measure, measuring: measure.length < 2 });
  }

  /** Close to the two nearest points, from where the gap is seen in its length. */
  lookAtPair(pair) {
    if (!pair.points_mm) return;
    const [a, b] = gapEnds(pair);
    const middle = a.map((one, i) => (one + b[i]) / 2);
    const way = new Vector3(...toScene(b.map((one, i) => one - a[i])));
    const gap = 1000 * way.length();
    const least = pair.clearance_mm > 0 ? PAIR_SPANS_MM[0] : LEAST_OVERLAP_SPAN_MM;
    const span = Math.min(PAIR_SPANS_MM[1], Math.max(least, SPANS_PER_GAP * gap));
    const looks = [[-30, 20], [30, 20], [0, 55], [-60, 15], [60, 15], [-150, 20], [150, 20]]
      .map(([yaw, pitch]) => ({ yaw, pitch, span, target: middle, flat: false }));
    const seen = (look) => (gap > 0 ? way.clone().normalize().cross(this.stage.camera.axes(look).eye).length() : 1);
    const [best] = looks.map((look, order) => ({ look, rank: seen(look) - 0.02 * order })).sort((p, q) => q.rank - p.rank);
    this.state.set({ look: best.look, view: "" });
  }

  /** The eight corners of an instance's box where it stands now, low and high, in the model's frame. */
  cornersOf(instance) {
    const piece = this.stage.gate.pieces.find((one) => one.merged.ranges.some((range) => range.instance === instance));
    const range = piece.merged.ranges.find((one) => one.instance === instance);
    const positions = piece.mesh.geometry.getAttribute("position");
    const low = [Infinity, Infinity, Infinity];
    const high = [-Infinity, -Infinity, -Infinity];
    for (let vertex = range.vertex; vertex < range.vertexEnd; ++vertex) {
      const at = new Vector3().fromBufferAttribute(positions, vertex).applyMatrix4(piece.group.matrixWorld);
      toModel(at.toArray()).forEach((one, i) => {
        low[i] = Math.min(low[i], one);
        high[i] = Math.max(high[i], one);
      });
    }
    return { low, high };
  }

  /** The gate closed and whole as an image, by a `look` or else from its corner: {address, look}. */
  imageOf(look) {
    const { stage, canvas } = this;
    this.drawNow(); // colours and hidden parts of a gate that has only just come
    this.setQuality({ ratio: FINE_RATIO, light: false });
    stage.camera.aspect = stage.size[0] / stage.size[1];
    const own = look ?? stage.camera.fitted(this.views.corner, stage.viewBox());
    stage.gate.move(0);
    stage.look(own);
    stage.draw();
    const address = canvas.toDataURL();
    for (const key of ["at", "look", "view"]) this.dirty.add(key);
    this.drawNow();
    return { address, look: own };
  }

  print() {
    this.stage.gate.lighten(false);
    const { stage, state, data } = this;
    fillPrint(byId("print-pictures"), { stage, state, data, fit: (name) => this.fit(name) }, () => {
      this.dirty.add("at");
      this.resize();
      this.drawNow();
    });
  }
}
