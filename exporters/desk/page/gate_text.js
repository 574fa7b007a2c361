// The gate file's text with its past: whole texts, so that going back is exact.
import { ask, Refused } from "./talk.js";

const MOST_STEPS = 500, MOST_TRIES = 5;

export class GateText {
  /** `onAnswer(answer, text)` gets the newest answer; `onWait(isWaiting)`; `onTrouble(error)`. */
  constructor({ onAnswer, onWait, onTrouble }) {
    Object.assign(this, { onAnswer, onWait, onTrouble });
    this.steps = [];
    this.at = -1;
    this.turn = Date.now(); // later pages of one desk go on where earlier ones were
    this.pending = [];
    this.tries = 0;
  }

  get text() {
    return this.steps[this.at]?.text ?? "";
  }
  get isSaved() {
    return this.text === this.saved;
  }
  get canUndo() {
    return this.at > 0;
  }
  get canRedo() {
    return this.at < this.steps.length - 1;
  }

  /** A text from the disk, and what an earlier page of this desk had made of it. */
  load(text, saved, unsaved = null) {
    this.saved = saved;
    this.steps = [text, unsaved].filter((one) => one !== null).map((one) => ({ text: one, field: null }));
    this.at = this.steps.length - 1;
    this.pending = [];
    return this.check();
  }

  /** `typed` null: back to the default. Edits of one `field` in a row are one step. */
  edit(pointer, typed, field = null) {
    return this.editAll([{ pointer, typed }], field);
  }

  editAll(edits, field = null) {
    this.pending.push({ edits, field });
    return this.check();
  }

  /** Another whole text as a step of its own. */
  put(text) {
    this.push(text, null);
    return this.check();
  }

  /** What is still on its way is taken back first. */
  undo() {
    if (this.pending.length > 0) this.go(this.at);
    else if (this.canUndo) this.go(this.at - 1);
  }
  redo() {
    if (this.canRedo) this.go(this.at + 1);
  }

  go(at) {
    this.pending = [];
    this.at = at;
    this.check();
  }

  push(text, field) {
    if (text === this.text) return;
    const last = this.steps[this.at];
    this.steps.length = this.at + 1;
    if (field !== null && last.field === field && this.at > 0) {
      last.text = text;
      return;
    }
    this.steps.push({ text, field });
    if (this.steps.length > MOST_STEPS) this.steps.shift();
    this.at = this.steps.length - 1;
  }

  /** The newest state is asked about; older questions are no longer answered. */
  async check() {
    const turn = ++this.turn;
    const pending = [...this.pending];
    const edits = pending.flatMap((one) => one.edits);
    this.onWait(true);
    try {
      const answer = await ask("/check", { turn, text: this.text, edits, is_saved: this.isSaved });
      if (turn !== this.turn) return;
      let taken = 0;
      for (const one of pending) {
        taken += one.edits.length;
        this.push(answer.texts[taken - 1], one.field);
      }
      this.pending = this.pending.slice(pending.length);
      this.tries = 0;
      this.onWait(false);
      this.onAnswer(answer, turn);
    } catch (error) {
      if (turn !== this.turn) return;
      if (error instanceof Refused && error.isLate && this.tries < MOST_TRIES) {
        // Another tab of this desk asked meanwhile.
        ++this.tries;
        this.turn = Math.max(this.turn, Date.now());
        return this.check();
      }
      this.pending = [];
      this.onWait(false);
      this.onTrouble(error);
    }
  }
}
