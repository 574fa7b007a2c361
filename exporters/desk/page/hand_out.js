// The hand-out: what is to be made, how far it is, and that it can be called off.
import { make } from "../../page/review/words.js";
import { ask, follow, send } from "./talk.js";

const byId = (id) => document.getElementById(id);

export class HandOut {
  constructor(opened, text) {
    Object.assign(this, { opened, text });
    byId("build-folder").hidden = !opened.folder;
    byId("no-folder").hidden = Boolean(opened.folder);
    if (opened.folder) byId("build-folder").textContent = `Into the folder ${opened.folder}`;
    byId("build-folder").addEventListener("click", () => this.run(false));
    byId("build-zip").addEventListener("click", () => this.run(true));
    byId("build-cancel").addEventListener("click", () => ask("/cancel"));
    byId("outputs").append(...opened.outputs.map((one) => {
      const box = make("input", { type: "checkbox", value: one.name, checked: !one.on_request });
      return make("label", {}, box, make("b", {}, ` ${one.name} `), make("span", { class: "note" }, one.what.replaceAll("`", "")));
    }));
  }

  get only() {
    return [...byId("outputs").querySelectorAll("input:checked")].map((one) => one.value);
  }

  async run(zip) {
    const only = this.only;
    if (only.length === 0) {
      this.say("Nothing is chosen.");
      return;
    }
    this.busy(true);
    this.say("Begun.");
    try {
      let last = {};
      await follow("/build", { text: this.text(), only, zip }, (line) => {
        last = line;
        if (line.stage) this.show(line);
      });
      if (last.cancelled) this.say("Called off; nothing was left behind.");
      else if (last.failed) this.say(`Not handed out: ${last.failed.join(" ")}`);
      else if (zip) await this.takeZip(last);
      else this.say(`${last.files} files in ${this.opened.folder}. ${last.verdict}${last.kept ? ` The folder that was there was changed by others and is kept as ${last.kept}.` : ""}`);
    } catch (error) {
      this.say(error.message);
    }
    this.busy(false);
  }

  async takeZip(last) {
    const bytes = await (await send("/zip", {})).blob();
    const address = URL.createObjectURL(bytes);
    const name = `${this.opened.name.replace(/\.json$/, "")}.zip`;
    const link = make("a", { href: address, download: name });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
    this.say(`${last.files} files, as ${name}. ${last.verdict}`);
  }

  show({ stage, done, total }) {
    const bar = byId("build-progress");
    if (total > 0) Object.assign(bar, { max: total, value: done });
    else bar.removeAttribute("value");
    this.say(total > 0 ? `${stage}: ${done} of ${total} files` : stage);
  }

  busy(on) {
    for (const id of ["build-folder", "build-zip"]) byId(id).disabled = on;
    byId("build-cancel").hidden = !on;
    byId("build-progress").hidden = !on;
  }

  say(words) {
    byId("build-state").textContent = words;
  }
}
