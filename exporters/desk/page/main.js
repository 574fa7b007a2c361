// leafstack's desk: puts the modules together. See page.html for what is where.
import { make } from "../../page/review/words.js";
import { Dimensions } from "./dimensions.js";
import { Beside, showFigures } from "./figures.js";
import { Form, labelOf } from "./form.js";
import { GateText } from "./gate_text.js";
import { HandOut } from "./hand_out.js";
import { Picture } from "./picture.js";
import { ask, begin, Refused } from "./talk.js";
import { Findings, showArrangements, showRemarks, showTasks, showVerdict } from "./told.js";

const LOOK_MS = 4000, WAIT_WORDS_MS = 1000;
const byId = (id) => document.getElementById(id);
const notices = new Map();

/** One notice of a kind at a time: words, and buttons by their words. */
function notice(kind, words, acts = {}) {
  notices.get(kind)?.remove();
  notices.delete(kind);
  if (!words) return;
  const place = make("p", { class: "notice", role: kind === "trouble" ? "alert" : "status" }, words, " ",
    ...Object.entries(acts).map(([name, act]) => make("button", { type: "button", onclick: () => {
      notice(kind, "");
      act();
    } }, name)));
  notices.set(kind, place);
  byId("notices").append(place);
}

async function start() {
  await begin();
  const opened = await ask("/open");
  byId("name").textContent = opened.name;
  document.title = `${opened.name}: leafstack desk`;
  document.querySelector("main").hidden = false;
  const desk = new Desk(opened);
  desk.begin();
  /** To look at, for tests: nothing in it changes the page. */
  window.leafstackDesk = Object.freeze({
    text: () => desk.text.text,
    turn: () => desk.text.turn,
    answer: () => desk.answer,
    isAtRest: () => desk.shownTurn === desk.text.turn,
    look: () => desk.picture.state.get("look"),
    frames: () => desk.picture.viewer?.stage.frames ?? 0,
  });
}

class Desk {
  constructor(opened) {
    this.opened = opened;
    this.picture = new Picture();
    this.text = new GateText({
      onAnswer: (answer, turn) => this.show(answer, turn),
      onWait: (waits) => this.wait(waits),
      onTrouble: (error) => notice("trouble", error.message),
    });
    this.form = new Form(byId("groups"), opened.form, (pointer, typed, visit) => this.text.edit(pointer, typed, visit));
    this.findings = new Findings((index) => this.picture.jump(index));
    this.dimensions = new Dimensions((pointer, typed) => this.text.edit(pointer, typed));
    this.beside = new Beside({ picture: this.picture, labelOf, goBack: (text) => this.text.put(text),
      present: () => (this.shown ? { text: this.shown.text, answer: this.shown.answer } : null) });
    this.handOut = new HandOut(opened, () => this.text.text);
    this.wire();
  }

  begin() {
    const { opened } = this;
    this.text.load(opened.text, opened.is_new ? null : opened.text, opened.unsaved);
    if (opened.unsaved !== null) notice("unsaved", "Changes that were not saved are taken up again; Undo goes back to the file.");
    if (opened.is_new) notice("new", `${opened.name} does not exist yet: this is a starter gate. Save writes it.`);
    if (opened.left !== null) {
      notice("left", "An earlier desk ended with changes that were not saved.", {
        "Take them up": () => this.text.put(opened.left), "Do away with them": () => ask("/forget") });
    }
    this.tellCompany(opened.has_company);
    setInterval(() => document.hidden || this.look(), LOOK_MS);
    this.tellTabs();
  }

  wire() {
    const act = { undo: () => this.text.undo(), redo: () => this.text.redo(), save: () => this.save(false) };
    for (const [id, run] of Object.entries(act)) byId(id).addEventListener("click", run);
    byId("to-hand-out").addEventListener("click", () => {
      byId("hand-out").scrollIntoView({ block: "start" });
      (byId("build-folder").hidden ? byId("build-zip") : byId("build-folder")).focus();
    });
    byId("find").addEventListener("input", () => this.form.filter(byId("find").value));
    byId("form").addEventListener("submit", (event) => event.preventDefault());
    byId("compare").addEventListener("click", () => this.compare());
    byId("compare-cancel").addEventListener("click", () => this.text.check()); // what is newer calls it off
    document.addEventListener("keydown", (event) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      const wanted = key === "s" ? "save" : key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
      if (!wanted) return;
      event.preventDefault();
      document.activeElement?.blur?.(); // what is being typed counts
      act[wanted]();
    });
  }

  /** The last result stays, dimmed; words only where it takes long. */
  wait(waits) {
    document.body.classList.toggle("waits", waits);
    clearTimeout(this.saying);
    if (waits) this.saying = setTimeout(() => document.body.classList.add("waits-long"), WAIT_WORDS_MS);
    else document.body.classList.remove("waits-long");
  }

  show(answer, turn) {
    notice("trouble", "");
    this.answer = answer;
    this.turn = turn;
    const picture = answer.report?.clash ? this.picture.request(this.text.text, turn) : null;
    const nameOf = (pointer) => this.form.nameOf(pointer);
    showVerdict(answer, nameOf);
    if (!answer.report) this.form.complain(answer.problems);
    const told = answer;
    const acts = { onCure: (sets) => this.take(sets), onWhere: (pointer) => this.form.reveal(pointer), onFindings: () => this.findings.step(1), nameOf };
    byId("strip").classList.toggle("earlier", byId("strip").children.length > 0 && this.compared !== this.text.text);
    if (byId("strip").classList.contains("earlier")) byId("compare-state").textContent = "Of the gate before the last changes: compare anew.";
    showTasks(told, acts);
    byId("undo").disabled = !this.text.canUndo;
    byId("redo").disabled = !this.text.canRedo;
    byId("save").disabled = this.text.isSaved;
    document.body.classList.toggle("stale", !answer.report);
    if (!answer.report) this.shownTurn = turn;
    if (answer.values) this.form.show(answer.values, answer.reasons, answer.written);
    if (!answer.report) return;
    if (answer.problems.length > 0) this.form.complain(answer.problems);
    showFigures(answer);
    this.findings.show(answer.report.clash);
    showRemarks(answer.report.remarks ?? [], (remark) => this.picture.showRemark(remark));
    this.dimensions.show(answer.values);
    this.follow(picture, turn, told, acts);
  }

  /** The picture, then cures: each only while nothing newer was asked about. */
  async follow(picture, turn, told, acts) {
    const isStill = () => turn === this.text.turn;
    try {
      const [answer, { text }] = [this.answer, this.text];
      if (picture) await this.picture.follow(picture, text, turn, isStill);
      this.shownTurn = turn;
      if (!isStill()) return;
      this.shown = answer.report.clash ? { text, answer } : null;
      byId("put-beside").disabled = !this.shown;
      this.beside.show();
      if (!isStill() || told.verdict.is_ready) return;
      const cures = await ask("/cures", { turn, text: this.text.text });
      if (isStill() && cures.warnings.length > 0) showTasks({ ...told, ...cures, problems: told.problems }, acts);
    } catch (error) {
      if (!(error instanceof Refused && error.isLate)) notice("trouble", error.message);
    }
  }

  valueOf(pointer) {
    return this.answer.values?.find((one) => one.pointer === pointer)?.value;
  }

  /** Settings as after --set. */
  take(sets) {
    byId("tasks").focus();
    this.text.editAll(sets.map((set) => {
      const equals = set.indexOf("=");
      return { pointer: set.slice(0, equals), typed: set.slice(equals + 1) };
    }));
  }

  async save(over) {
    const text = this.text.text;
    try {
      const { saved } = await ask("/save", { text, over });
      if (!saved) {
        notice("disk", `${this.opened.name} was changed on the disk since it was read.`, {
          "Save over it": () => this.save(true), "Read it anew": () => this.reopen() });
        return;
      }
      this.text.saved = text;
      byId("save").disabled = this.text.isSaved;
      for (const kind of ["disk", "new", "left", "unsaved"]) notice(kind, "");
      notice("saved", "Saved.");
      setTimeout(() => notice("saved", ""), 3000);
    } catch (error) {
      notice("trouble", error.message);
    }
  }

  async reopen() {
    const opened = await ask("/open");
    this.text.saved = opened.text;
    this.text.put(opened.text);
  }

  async look() {
    try {
      const { is_as_known: isAsKnown, has_company: hasCompany } = await ask("/look");
      this.tellCompany(hasCompany);
      if (!isAsKnown && !notices.has("disk")) {
        notice("disk", `${this.opened.name} was changed on the disk by somebody else.`, { "Read it anew": () => this.reopen(), "Go on with this": () => {} });
      }
    } catch (error) {
      notice("trouble", error.message);
    }
  }

  tellCompany(hasCompany) {
    notice("company", hasCompany ? "Another desk works on the same gate file. Whoever saves second is asked first." : "");
  }

  /** Another tab of the same desk: both are told. */
  tellTabs() {
    const tabs = new BroadcastChannel("leafstack-desk");
    const own = Math.random();
    const tell = () => notice("tabs", "This desk is open in another tab, too. Work in one of them: each has its own undo.");
    tabs.onmessage = ({ data }) => {
      if (data.own === own) return;
      tell();
      if (data.asks) tabs.postMessage({ own, asks: false });
    };
    tabs.postMessage({ own, asks: true });
  }

  async compare() {
    const state = byId("compare-state");
    const { turn, text } = this.text;
    byId("compare").disabled = true;
    byId("compare-cancel").hidden = false;
    const begun = performance.now();
    const tell = () => { state.textContent = `Arrangements are built and judged: ${Math.round((performance.now() - begun) / 1000)} s.`; };
    tell();
    const telling = setInterval(tell, 1000);
    try {
      const found = await ask("/compare", { turn, text });
      this.compared = text;
      state.textContent = found ? "" : "There is no gate to compare.";
      if (found) showArrangements(found, (pointer) => this.valueOf(pointer), (sets) => this.take(sets));
    } catch (error) {
      state.textContent = error.isLate ? "Called off." : error.message;
    }
    clearInterval(telling);
    byId("compare").disabled = false;
    byId("compare-cancel").hidden = true;
  }
}

start().catch((error) => {
  byId("verdict").textContent = error.status === 401 || error.status === 403
    ? "This page needs the address that the program printed: open it anew, or press Enter where the program runs for a new one."
    : error.message;
});
