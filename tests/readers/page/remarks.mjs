// Remarks there and back: a reviewer pins one to a part on the page and saves it; the file is sound (bcf.py), `build
// --remarks` takes it in, and the next page shows it at its part, with the gate where it stood; where the part is gone,
// it says so.
//   node remarks.mjs LEAFSTACK FOLDER   FOLDER is for files of its own, and empty
import { execFileSync, spawn } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { Browser, Check, driveTo, settle } from "./review_browser.mjs";

const [program, folder] = process.argv.slice(2).map((one) => path.resolve(one));
const check = new Check();
const gate = path.join(folder, "gate.json");
fs.writeFileSync(gate, JSON.stringify({ leafstack: 1, job: { title: "Remarks <there> & back" },
  site: { opening_mm: 4400, obstacles: [{ name: "bollard", box_mm: [[500, 60, 0], [600, 300, 900]] }] }, gate: { panels: 2 } }));
const file = (name) => path.join(folder, name);
function build(name, ...more) {
  try {
    execFileSync(program, ["build", gate, "-o", file(name), "--only", "review,report,bcf", "--timestamp", "2026-01-02T03:04:05Z", ...more],
      { encoding: "utf8" });
  } catch (error) {
    check.that(error.status === 5, `${name}: exit code ${error.status}: ${error.stderr}`);  // it clashes
  }
  return JSON.parse(fs.readFileSync(path.join(file(name), "report.json")));
}
const sound = (bcf) => JSON.parse(execFileSync("/usr/bin/python3", [new URL("../bcf.py", import.meta.url).pathname, bcf, "--json"]));

const WORDS = `Is this <b>channel</b> & its "foot" clear of the drain's cover? It looks close to me, from here`;
const browser = await Browser.launch({ loopback: true });
let desk = null;
try {
  const first = build("first");
  check.that(first.remarks === undefined, "remarks where none were read");
  let page = await browser.open(file("first"));
  await page.evaluate(() => {
    window.saved = [];
    URL.createObjectURL = (blob) => (window.saved.push(blob), "blob:kept");
    HTMLAnchorElement.prototype.click = () => {};
  });
  check.that(await page.$eval("#remark-add", (button) => button.disabled), "a remark about nothing can be added");
  const data = await page.evaluate(() => JSON.parse(document.getElementById("data").textContent));
  const channel = data.instances.findIndex((one) => one.panel === 1 && data.parts[one.part].name === "guide channel");
  const { mark } = data.parts[data.instances[channel].part];
  await driveTo(page, 777.5);
  await page.evaluate((key) => document.querySelector(`[data-row="${key}"] .pick`).click(), `${mark}@1`);
  await page.type("#remark-by", "R. Viewer");
  await page.type("#remark-text", WORDS);
  await page.click("#remark-add");
  check.that((await page.$$("#remark-added tr")).length === 1, "the new remark has no row");
  await page.click("#remark-save");
  const bytes = await page.evaluate(async () => [...new Uint8Array(await window.saved[0].arrayBuffer())]);
  fs.writeFileSync(file("remarks.bcf"), Buffer.from(bytes));
  const read = sound(file("remarks.bcf"));
  check.that(read.problems.length === 0, `saved: ${read.problems.join("; ")}`);
  check.that(read.topics.length === 1 && read.topics[0].description === WORDS, "the words are not those written");
  await page.close();

  const second = build("second", "--remarks", file("remarks.bcf"));
  const [remark] = second.remarks;
  check.that(second.remarks.length === 1 && remark.description === WORDS && remark.author === "R. Viewer", "not as it was written");
  check.that(remark.parts.join() === data.instances[channel].name && remark.parts_gone === 0, `about ${remark.parts}`);
  check.that(remark.at_mm === 777.5, `at ${remark.at_mm}`);
  check.that(second.clash.findings.length === first.clash.findings.length, "findings changed");
  page = await browser.open(file("second"));
  check.that((await page.$eval("#remarks", (one) => one.textContent)).includes(WORDS), "the page does not show its words");
  await page.evaluate(() => document.querySelector("[data-remark] button").click());
  await settle(page);
  const state = await page.evaluate(() => leafstackReview.state());
  check.that(state.picked === data.instances[channel].name && state.at === 777.5, `shows ${state.picked} at ${state.at}`);
  await page.close();
  const kept = sound(path.join(file("second"), "clashes.bcf"));
  check.that(kept.problems.length === 0, `kept: ${kept.problems.join("; ")}`);
  check.that(kept.topics.length === first.clash.findings.length + 1, `${kept.topics.length} topics`);

  // Of one panel: no panel guides another. Read from what the second build kept.
  const third = build("third", "--remarks", path.join(file("second"), "clashes.bcf"), "--set", "/gate/panels=1");
  const [gone] = third.remarks;
  check.that(third.remarks.length === 1 && gone.guid === remark.guid, `${third.remarks.length} remarks: ours come back`);
  check.that(gone.parts_gone === 1 && gone.parts.length === 0, "its part is not said to be gone");
  const labels = sound(path.join(file("third"), "clashes.bcf")).topics.find((one) => one.guid === remark.guid).labels;
  check.that(labels.includes("part gone"), `labels ${labels}`);
  page = await browser.open(file("third"));
  check.that((await page.$eval("#remarks", (one) => one.textContent)).includes("1 part of before, gone"), "the page does not say it is gone");
  // There again: the label goes.
  build("fourth", "--remarks", path.join(file("third"), "clashes.bcf"));
  const again = sound(path.join(file("fourth"), "clashes.bcf")).topics.find((one) => one.guid === remark.guid).labels;
  check.that(!again.includes("part gone"), `labels ${again}`);
  // The desk shows the one that the page wrote, and brings the gate to its part.
  desk = spawn(program, ["desk", "--no-browser", "gate.json", "--remarks", "remarks.bcf"], { cwd: folder, stdio: ["ignore", "pipe", "ignore"] });
  const address = await new Promise((done) => desk.stdout.once("data", (told) => done(String(told).trim())));
  page = await browser.chromium.newPage();
  page.setDefaultTimeout(120_000);
  await page.goto(address);
  await page.waitForFunction(() => window.leafstackDesk?.isAtRest());
  check.that((await page.$eval("#remarks", (one) => one.textContent)).includes(WORDS), "the desk does not show its words");
  await page.evaluate(() => document.querySelector("#remarks button").click());
  await settle(page);
  check.that((await page.$eval("#picked", (one) => one.textContent)).startsWith(mark), "the desk shows another part");
  check.that(await page.$eval("#typed", (one) => Number(one.value)) === 777.5, "the desk's gate stands elsewhere");
  check.that(browser.errors.length === 0, `console: ${browser.errors.join("; ")}`);
  check.that(browser.requests.length === 0, `asked for ${browser.requests.join(", ")}`);
  check.end(`a remark went out and came back three times, ${check.count} checks`);
} finally {
  desk?.kill("SIGINT");
  await browser.close();
}
