// The slider and all that drives it: play, ends, typed figures, keys.
import { shown } from "../words.js";

const STEP_MM = 10, BIG_STEP_MM = 100;
/** With less motion asked for, the gate goes in so many steps, with a rest at each. */
const CALM_STEPS = 12, CALM_REST_MS = 700;
const byId = (id) => document.getElementById(id);

export class Travel {
  constructor(data, state) {
    this.state = state;
    this.slider = byId("slider");
    this.typed = byId("typed");
    this.take(data);
    this.slider.addEventListener("input", () => this.go(Number(this.slider.value)));
    this.typed.addEventListener("change", () => {
      const text = this.typed.value.trim();
      if (text !== "" && Number.isFinite(Number(text))) this.go(Number(text));
      this.show(true); // what was typed may be out of reach, or no number
    });
    byId("closed").addEventListener("click", () => this.go(0));
    byId("half").addEventListener("click", () => this.go(this.travel / 2));
    byId("open").addEventListener("click", () => this.go(this.travel));
    byId("play").addEventListener("click", () => this.play(!this.playing));
    document.addEventListener("keydown", (event) => this.key(event));
  }

  /** The travel of this gate, in the place of another's where there was one. */
  take(data) {
    this.play(false);
    this.travel = data.drive_travel_mm;
    this.time_s = Math.max(1, data.opening_time_s);
    this.data = data;
    for (const input of [this.slider, this.typed]) input.max = this.travel;
    this.show();
  }

  /** To a position; who asks for one stops the play. */
  go(at) {
    this.play(false);
    this.to(at);
  }

  to(at) {
    const held = Number.isFinite(at) ? at : 0;
    this.state.set({ at: Math.min(this.travel, Math.max(0, held)) });
  }

  show(anew = false) {
    const at = this.state.get("at");
    this.slider.value = at;
    if (anew || document.activeElement !== this.typed || Number(this.typed.value) !== at) this.typed.value = shown(at);
    const where = this.data.panels.map((panel) => `panel ${panel.number} ${shown(panel.speed_ratio * at, 0)}`);
    byId("where").textContent = `Opened by, mm: ${where.join(", ")}`;
    this.slider.setAttribute("aria-valuetext", `${shown(at)} mm of drive travel`);
  }

  play(on) {
    if (on === Boolean(this.playing)) return;
    byId("play").textContent = on ? "Pause" : "Play";
    byId("play").setAttribute("aria-pressed", String(on));
    if (!on) {
      this.playing();
      this.playing = null;
    } else {
      const at = this.state.get("at");
      const from = at >= this.travel ? 0 : at;
      const isCalm = matchMedia("(prefers-reduced-motion: reduce)").matches;
      this.playing = isCalm ? this.calmly(from) : this.smoothly(from);
    }
  }

  /** As fast as the real gate on average, to open and no further. */
  smoothly(from) {
    let begin = null;
    let frame = 0;
    const step = (now) => {
      begin ??= now;
      const at = from + ((now - begin) / 1000 / this.time_s) * this.travel;
      this.to(at);
      if (at >= this.travel) this.play(false);
      else frame = requestAnimationFrame(step);
    };
    frame = requestAnimationFrame(step);
    return () => cancelAnimationFrame(frame);
  }

  calmly(from) {
    const timer = setInterval(() => {
      const at = this.state.get("at") + this.travel / CALM_STEPS;
      this.to(at);
      if (at >= this.travel) this.play(false);
    }, CALM_REST_MS);
    this.to(from);
    return () => clearInterval(timer);
  }

  key(event) {
    const isTyping = event.target.matches?.("input:not([type=range]):not([type=checkbox]), select, textarea");
    if (isTyping || event.ctrlKey || event.altKey || event.metaKey) return;
    const at = this.state.get("at");
    const step = { ",": -STEP_MM, ".": STEP_MM, "<": -BIG_STEP_MM, ">": BIG_STEP_MM }[event.key];
    const letter = event.key.toLowerCase();
    if (!byId("letters").checked) return;
    if (step) this.go(at + step);
    else if (letter === "p") this.play(!this.playing);
    else if (letter === "c") this.go(0);
    else if (letter === "h") this.go(this.travel / 2);
    else if (letter === "o") this.go(this.travel);
  }
}
