// How long an edit takes to the proved verdict and to the moved picture, by the page's own clock: the five commonest
// edits on gates, as histograms; how soon the first picture stands after the command; frames a second in motion.
//   node desk_times.mjs PROGRAM GATE.json...
// Wall clock: other work on the machine makes all of it longer, so it is told and nothing is judged, but that every
// edit came to a picture. tests/desk/times.py has the program's processor time.
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { DeskPage, enter } from "./desk_browser.mjs";
import { Browser, Check, settle } from "./review_browser.mjs";

const [program, ...gates] = process.argv.slice(2).map((one) => path.resolve(one));
const EDITS = [["/site/opening_mm", 5600, 10], ["/gate/height_mm", 1600, 10], ["/site/room_mm", 6000, 10], ["/gate/overlap_mm", 80, 5], ["/gate/infill/gap_mm", 60, 2]];
const REPEATS = 2, EDGES = [0, 50, 100, 200, 500, 1000, Infinity];
const check = new Check();
const median = (all) => [...all].sort((a, b) => a - b)[all.length >> 1];

function histogram(words, times) {
  if (times.length === 0) return;
  console.log(`${words}: ${times.length}, median ${median(times).toFixed(0)} ms, ${Math.min(...times).toFixed(0)} to ${Math.max(...times).toFixed(0)}`);
  for (let i = 0; i + 1 < EDGES.length; ++i) {
    const count = times.filter((one) => one >= EDGES[i] && one < EDGES[i + 1]).length;
    console.log(`  ${String(EDGES[i]).padStart(5)} to ${String(EDGES[i + 1]).padStart(8)} ms ${"#".repeat(count)}`);
  }
}

const browser = await Browser.launch({ loopback: true });
const level = { verdict: [], picture: [] }, surveyed = { verdict: [], picture: [] }, firsts = [], paces = [];
try {
  for (const gate of gates) {
    const folder = fs.mkdtempSync(path.join(os.tmpdir(), "leafstack-times-"));
    fs.copyFileSync(gate, path.join(folder, "gate.json"));
    const begun = performance.now();
    const desk = await DeskPage.begin(program, browser, folder, "gate.json");
    const page = await desk.open({ width: 1280, height: 800 });
    firsts.push(performance.now() - begun);
    const before = await page.evaluate((pointers) => pointers.map((one) => leafstackDesk.answer().values.find((value) => value.pointer === one)?.value),
      ["/site/track_survey_mm", ...EDITS.map(([pointer]) => pointer)]);
    const kind = before[0]?.length > 0 ? surveyed : level;
    for (const [i, [pointer, start, step]] of EDITS.entries()) {
      const from = typeof before[i + 1] === "number" ? before[i + 1] : start;
      for (let repeat = 1; repeat <= REPEATS; ++repeat) {
        const took = await enter(page, pointer, String(from + repeat * step));
        check.that(Number.isFinite(took.picture), `${gate}: ${pointer} came to no picture`);
        if (!(await page.evaluate(() => leafstackDesk.answer().report?.clash))) continue; // nothing was proved
        kind.verdict.push(took.verdict);
        kind.picture.push(took.picture);
      }
    }
    await page.click("#closed");
    await page.click("#play");
    await settle(page);
    const count = () => page.evaluate(() => [leafstackDesk.frames(), performance.now()]);
    const [[first, start], [last, end]] = [await count(), await new Promise((done) => setTimeout(() => done(count()), 4000))];
    paces.push(((last - first) * 1000) / (end - start));
    await page.close();
    await desk.end();
    fs.rmSync(folder, { recursive: true, force: true });
  }
  histogram("level ground, edit to verdict", level.verdict);
  histogram("level ground, edit to moved picture", level.picture);
  histogram("surveyed ground, edit to verdict", surveyed.verdict);
  histogram("surveyed ground, edit to moved picture", surveyed.picture);
  console.log(`first picture and verdict after the command: median ${median(firsts).toFixed(0)} ms; frames a second, drawn by the processor: ${paces.map((one) => one.toFixed(0)).join(", ")}`);
  check.end(`${check.count} edits, each with its picture; ${os.cpus().length} cores, load ${os.loadavg()[0].toFixed(1)}`);
} finally {
  await browser.close();
}
