// Dimensions to change on the picture: those that are keys of the gate file. A click on one, or its
// button below the picture, opens a field for it.
import { make } from "../../page/review/words.js";
import { labelOf } from "./form.js";

const byId = (id) => document.getElementById(id);
/** What the picture's labels are called, by key. */
const KEYS = ["/site/opening_mm", "/site/room_mm", "/gate/height_mm", "/gate/panels", "/gate/overlap_mm", "/gate/ground_clearance_mm"];

export class Dimensions {
  constructor(onEdit) {
    this.onEdit = onEdit;
    this.values = new Map();
    byId("overlay").addEventListener("click", (event) => {
      const one = this.values.get(event.target.closest("[data-key]")?.dataset.key);
      if (one) this.type(one);
    });
  }

  show(values) {
    this.values = new Map(values.map((one) => [one.pointer, one]));
    const focused = document.activeElement?.dataset?.dimension;
    byId("dimension-list").replaceChildren(...KEYS.map((pointer) => this.values.get(pointer)).filter(Boolean).map((one) =>
      make("button", { type: "button", class: "dimension", "data-dimension": one.pointer, onclick: () => this.type(one) },
        `${labelOf(one.pointer)} `, make("b", {}, one.value === null ? "not given" : String(one.value)))));
    if (focused) document.querySelector(`[data-dimension="${focused}"]`)?.focus();
  }

  type(one) {
    const place = byId("typed-here");
    const input = make("input", { type: "text", inputmode: "decimal", id: "dimension-typed", value: one.value === null ? "" : String(one.value) });
    const close = () => {
      place.hidden = true;
      document.querySelector(`[data-dimension="${one.pointer}"]`)?.focus();
    };
    const take = () => {
      const typed = input.value.trim();
      close();
      if (typed !== String(one.value ?? "")) this.onEdit(one.pointer, typed === "" ? null : typed);
    };
    input.addEventListener("keydown", (event) => {
      event.stopPropagation();
      if (event.key === "Enter") {
        event.preventDefault(); // else it would press the button that gets the focus back
        take();
      }
      if (event.key === "Escape") close();
    });
    place.replaceChildren(make("label", { for: "dimension-typed" }, labelOf(one.pointer)), input,
      make("button", { type: "button", onclick: take }, "Take it"), make("button", { type: "button", class: "quiet", onclick: close }, "Leave it"));
    place.hidden = false;
    input.focus();
    input.select();
  }
}
