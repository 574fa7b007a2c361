// What the desk's picture and figures show, in a headless browser:
//   node desk_picture.mjs PROGRAM GATE.json [--shots DIR]
// dimensions for client and installer (against `check --json` and set-out.csv; no two labels meet), a person for
// scale (against the opening, by pixels), the movement in the wind, two states side by side, why each figure is.
import { execFileSync, spawnSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { inflateSync } from "node:zlib";
import { DeskPage, enter, field, settled } from "./desk_browser.mjs";
import { Browser, Check, settle } from "./review_browser.mjs";

const program = path.resolve(process.argv[2]);
const gate = path.resolve(process.argv[3]);
const shots = process.argv[4] === "--shots" ? process.argv[5] : null;
const check = new Check();
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "leafstack-picture-"));
fs.copyFileSync(gate, path.join(folder, "gate.json"));
const shot = (page, name) => shots && page.screenshot({ path: path.join(shots, `${name}.png`) });

/** Labels over the picture: words and box. */
const labels = (page) => page.evaluate(() => {
  const all = [...document.querySelectorAll("#overlay .label")];
  const from = document.getElementById("picture").getBoundingClientRect();
  return all.map((one) => {
    const box = one.querySelector("rect").getBoundingClientRect();
    return { words: one.textContent, left: box.left - from.left, right: box.right - from.left, top: box.top - from.top, bottom: box.bottom - from.top,
      size: [from.width, from.height], isIn: box.left >= from.left && box.right <= from.right && box.top >= from.top && box.bottom <= from.bottom };
  });
});

async function checkApart(page, what) {
  const all = await labels(page);
  for (const [i, a] of all.entries()) {
    check.that(a.isIn, `${what}: ${a.words} leaves the picture: ${JSON.stringify(a)}`);
    for (const b of all.slice(i + 1)) {
      check.that(a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top, `${what}: "${a.words}" meets "${b.words}"`);
    }
  }
  const left = await page.$eval("#left-out", (one) => (one.hidden ? 0 : Number.parseInt(one.textContent, 10)));
  return { all, left };
}

async function look(page, view, place) {
  await page.click(`[data-view="${view}"]`);
  await page.click(`#${place}`);
  await settle(page);
  await settle(page);
}

/** Of a PNG by Chromium: eight bits a channel, not interlaced. */
function pixels(png) {
  let at = 8, wide = 0, tall = 0, channels = 4;
  const data = [];
  while (at < png.length) {
    const size = png.readUInt32BE(at), kind = png.toString("latin1", at + 4, at + 8), body = png.subarray(at + 8, at + 8 + size);
    if (kind === "IHDR") [wide, tall, channels] = [body.readUInt32BE(0), body.readUInt32BE(4), body[9] === 6 ? 4 : 3];
    if (kind === "IDAT") data.push(body);
    at += size + 12;
  }
  const raw = inflateSync(Buffer.concat(data)), row = wide * channels, out = Buffer.alloc(row * tall);
  for (let y = 0; y < tall; ++y) {
    const filter = raw[y * (row + 1)];
    for (let x = 0; x < row; ++x) {
      const left = x >= channels ? out[y * row + x - channels] : 0, up = y > 0 ? out[(y - 1) * row + x] : 0;
      const corner = x >= channels && y > 0 ? out[(y - 1) * row + x - channels] : 0, p = left + up - corner;
      const [pa, pb, pc] = [Math.abs(p - left), Math.abs(p - up), Math.abs(p - corner)];
      const guess = [0, left, up, (left + up) >> 1, pa <= pb && pa <= pc ? left : pb <= pc ? up : corner][filter];
      out[y * row + x] = (raw[y * (row + 1) + 1 + x] + guess) & 255;
    }
  }
  return { wide, tall, channels, out };
}

const picture = async (page) => pixels(Buffer.from(await (await page.$("#picture")).screenshot()));

async function checkDimensions(page, report, setOut, viewport) {
  let most = 0;
  for (const set of ["client", "installer"]) {
    await page.select("#dimensions", set);
    for (const view of ["corner", "road", "above", "end"]) {
      for (const place of viewport === 1440 ? ["closed", "half", "open"] : ["closed"]) {
        await look(page, view, place);
        const what = `${set}, ${view}, ${place}, ${viewport}`;
        const { all, left } = await checkApart(page, what);
        check.that(view === "end" || all.length + left > 0, `${what}: nothing is told`);
        if (place === "closed") await shot(page, `${set}-${view}-${viewport}`);
        if (viewport !== 1440 || view !== "corner" || place !== "closed") continue;
        most = Math.max(most, left);
        const words = all.map((one) => one.words);
        const says = (text) => check.that(words.includes(text), `${what}: no "${text}" among ${words.join(" | ")}`);
        const mm = (value) => String(Number(value.toFixed(1)));
        if (set === "client") {
          says(`opening: ${mm(report.layout.opening_mm)}`);
          says(`room needed: ${mm(report.layout.room_total_mm)}`);
          for (const one of report.layout.panels) says(`length of panel ${one.number}: ${mm(one.length_mm)}`);
          for (const one of report.layout.panels.slice(0, -1)) says(`overlap of panels ${one.number} and ${one.number + 1}: ${mm(one.overlap_mm)}`);
          check.that(words.some((one) => one.startsWith("top above the driveway: ")), `${what}: no height`);
          check.that(words.some((one) => one.startsWith("ground clearance")), `${what}: no ground clearance`);
        } else {
          for (const [item, point] of [["guide post", "middle of its front face"], ["pinion", "axis"], ["end stop of panel 1", ""], ["catch post", "face towards"]]) {
            const row = setOut.find((one) => one.item === item && one.point.startsWith(point));
            if (row) says(`${item}: X ${Math.round(row.x)}, Y ${Math.round(row.y)}${item === "pinion" ? `, Z ${Math.round(row.z)}` : ""}`);
          }
        }
      }
    }
  }
  check.that(viewport !== 1440 || most === 0, `${most} labels find no room on a desk's screen`);
}

/** The picture once it is drawn to its end: two in a row are alike, however slow the machine. */
async function stillPicture(page) {
  let before = await picture(page);
  for (let turn = 0; turn < 20; ++turn) {
    await new Promise((done) => setTimeout(done, 600));
    const now = await picture(page);
    if (Buffer.compare(now.out, before.out) === 0) return now;
    before = now;
  }
  return before;
}

/** From the road the figure is as tall as it says, held against the opening's own line. */
async function checkPerson(page) {
  await page.select("#dimensions", "");
  await look(page, "road", "closed");
  await page.click("#person");
  await page.focus("#canvas");
  await page.keyboard.press("-"); // no view by name, which would be fitted anew without the person
  await settle(page);
  await new Promise((done) => setTimeout(done, 500)); // drawn finely
  const label = await labels(page);
  const hideWords = (on) => page.$eval("#overlay", (one, hidden) => { one.style.visibility = hidden ? "hidden" : ""; }, on);
  await hideWords(true);
  const withOne = await stillPicture(page);
  check.that(label.length === 1 && label[0].words === "person, 1750 mm", `the person is told as ${JSON.stringify(label)}`);
  const span = await page.evaluate(() => leafstackDesk.look().span);
  const target = { ...(await page.evaluate(() => leafstackDesk.look())) };
  await page.click("#person");
  await settle(page);
  const moved = await page.evaluate(() => leafstackDesk.look());
  check.that(moved.span === span && moved.target[0] === target.target[0], "the view moves with the person, so that it cannot be measured");
  const without = await stillPicture(page);
  await hideWords(false);
  await page.click("#person");
  const { wide, tall, channels, out } = withOne;
  let top = tall, low = 0;
  for (let y = 0; y < tall; ++y) {
    for (let x = 0; x < wide; ++x) {
      const i = (y * wide + x) * channels;
      if (Math.abs(out[i] - without.out[i]) + Math.abs(out[i + 1] - without.out[i + 1]) > 20) [top, low] = [Math.min(top, y), Math.max(low, y)];
    }
  }
  const told = ((low - top + 1) * span) / tall;
  check.that(Math.abs(told - 1750) < (3 * span) / tall, `the person is ${told} mm tall in the picture`);
  await shot(page, "person");
  await page.click("#person");
}

async function checkShape(page, report) {
  await look(page, "corner", "closed");
  await page.click("#shape");
  await page.waitForFunction(() => /moves up to|No frame/.test(document.getElementById("shape-words").textContent));
  await new Promise((done) => setTimeout(done, 500));
  const words = await page.$eval("#shape-words", (one) => one.textContent);
  await shot(page, "wind");
  const closed = words.match(/moves up to ([\d.]+) mm across the track, ([\d.]+) mm allowed; drawn (?:(\d+) times as large|to scale)/);
  check.that(closed && Number(closed[2]) === Math.round(report.structure.deflection_limit_mm), `in the wind: ${words}`);
  const states = [Number(closed?.[1])];
  for (const place of ["half", "open"]) {
    await page.click(`#${place}`);
    await settle(page);
    states.push(Number((await page.$eval("#shape-words", (one) => one.textContent)).match(/moves up to ([\d.]+)/)?.[1]));
  }
  check.that(Math.abs(Math.max(...states) - report.structure.deflection_mm) < 0.051, `moves ${states}, told ${report.structure.deflection_mm}`);
  await page.$eval("#slider", (one) => { one.value = one.max * 0.3; one.dispatchEvent(new Event("input")); });
  await settle(page);
  const between = await page.$eval("#shape-words", (one) => one.textContent);
  check.that(/worked out closed, half open and parked/.test(between), `between the states: ${between}`);
  await page.click("#shape-words button");
  await settle(page);
  check.that(/moves up to/.test(await page.$eval("#shape-words", (one) => one.textContent)), "no way back to a state");
  await page.click("#shape");
  await page.click("#closed");
}

async function checkBeside(page) {
  const first = await page.evaluate(() => leafstackDesk.text());
  await page.click("#put-beside");
  const height = await page.evaluate(() => leafstackDesk.answer().values.find((one) => one.pointer === "/gate/height_mm").value);
  await enter(page, "/gate/height_mm", String(height + 100));
  const shown = await page.$eval("#beside", (one) => ({ hidden: one.hidden, words: one.innerText, images: one.querySelectorAll("img").length,
    alike: one.querySelectorAll("img")[0]?.src === one.querySelectorAll("img")[1]?.src }));
  check.that(!shown.hidden && shown.images === 2 && !shown.alike, "two pictures are not side by side");
  check.that(shown.words.includes(String(height)) && shown.words.includes(String(height + 100)), "the entry that differs is not told");
  const mass = await page.$$eval("#beside-figures tr", (rows) => rows.find((one) => one.textContent.startsWith("Moved by the drive"))?.innerText);
  check.that(/kg more/.test(mass), `a higher gate's mass: ${mass}`);
  await page.$eval("#beside", (one) => one.scrollIntoView());
  await shot(page, "beside");
  await page.click("#beside-back");
  await settled(page);
  await page.waitForFunction((text) => leafstackDesk.text() === text, {}, first);
  await page.click("#beside-away");
  check.that(await page.$eval("#beside", (one) => one.hidden), "it is not put away");
}

/** A drain entered by its measures stands in the file and in the proof; "auto" stays in its field. */
async function checkEntries(page) {
  const first = await page.evaluate(() => leafstackDesk.text());
  const turn = await page.evaluate(() => leafstackDesk.turn());
  await page.evaluate((id) => {
    const editor = document.querySelector(id).closest(".field").querySelector(".editor");
    const [name, ...ends] = editor.querySelectorAll("input");
    name.value = "drain";
    ["-3 m", "-2,8 m", "-1500", "-1300", "-200", "-150"].forEach((words, i) => { ends[i].value = words; });
    [...editor.querySelectorAll("button")].find((one) => one.textContent === "Add it").click();
  }, field("/site/obstacles"));
  await page.waitForFunction((before) => leafstackDesk.turn() > before && leafstackDesk.isAtRest(), {}, turn);
  const value = await page.evaluate(() => leafstackDesk.answer().values.find((one) => one.pointer === "/site/obstacles").value);
  check.that(JSON.stringify(value) === '[{"name":"drain","box_mm":[[-3000,-1500,-200],[-2800,-1300,-150]]}]', `the drain is ${JSON.stringify(value)}`);
  check.that((await page.$$eval(".obstacles li", (all) => all.map((one) => one.textContent))).join().startsWith("drain: along -3000 to -2800"), "the drain is not listed");
  await enter(page, "/gate/top_rail", "auto");
  // What it came to, or that nothing holds.
  const shown = await page.$eval(field("/gate/top_rail"), (one) => ({
    value: one.value, came: one.closest(".field").querySelector(".came").textContent, error: one.closest(".field").querySelector(".error").textContent,
  }));
  check.that(shown.value === "auto" && (/[SR]HS/.test(shown.came) || /none of the \d+ gates tried/.test(shown.error)), `auto is shown as ${JSON.stringify(shown)}`);
  for (let i = 0; i < 2; ++i) {
    const before = await page.evaluate(() => leafstackDesk.turn());
    await page.click("#undo");
    await page.waitForFunction((one) => leafstackDesk.turn() > one && leafstackDesk.isAtRest(), {}, before);
  }
  check.that((await page.evaluate(() => leafstackDesk.text())) === first, "undone, the text is another");
}

/** One click to formula and source beside each. */
async function checkWhy(page) {
  const figures = await page.$$eval("#figure-list dd", (all) => all.map((one) => {
    one.querySelector("button")?.click();
    const place = one.querySelector(".reason");
    return { id: one.dataset.figure, rows: place && !place.hidden ? [...place.querySelectorAll("tr")].map((row) => [...row.children].map((cell) => cell.textContent)) : [] };
  }));
  for (const { id, rows } of figures) {
    check.that(rows.length > 0 && rows.some((row) => row[2] !== "" || row[3] !== ""), `no formula or source beside ${id}`);
  }
  await page.$eval("#figures", (one) => one.scrollIntoView());
  await shot(page, "why");
  const fields = await page.$$eval(".field .came", (all) => all.filter((one) => one.textContent.startsWith("computed")).map((one) => {
    one.querySelector("button")?.click();
    return { name: one.closest(".field").dataset.pointer, words: one.querySelector(".reason:not([hidden])")?.textContent ?? "" };
  }));
  check.that(fields.length > 5, `${fields.length} computed fields`);
  for (const { name, words } of fields) check.that(words.length > 25, `no reason beside ${name}: ${words}`);
  return figures.length + fields.length;
}

const browser = await Browser.launch({ loopback: true });
const desk = await DeskPage.begin(program, browser, folder, "gate.json");
try {
  const page = await desk.open({ width: 1440, height: 900 });
  const file = path.join(folder, "trial.json");
  fs.writeFileSync(file, await page.evaluate(() => leafstackDesk.text()));
  const report = JSON.parse(spawnSync(program, ["check", file, "--json"], { maxBuffer: 1e8 }).stdout);
  spawnSync(program, ["build", file, "-o", path.join(folder, "out"), "--only", "tables"]);
  const rows = execFileSync("/usr/bin/python3", ["-c", "import csv, json, sys; print(json.dumps(list(csv.DictReader(open(sys.argv[1])))))",
    path.join(folder, "out", "tables", "set-out.csv")]);
  const setOut = JSON.parse(rows).map((one) => ({ item: one.item, point: one.point, x: Number(one.x_mm), y: Number(one.y_mm), z: Number(one.z_mm) }));
  await checkDimensions(page, report, setOut, 1440);
  await checkPerson(page);
  await checkShape(page, report);
  await checkBeside(page);
  const reasons = await checkWhy(page);
  await checkEntries(page);
  await page.setViewport({ width: 390, height: 844, isMobile: true, hasTouch: true });
  await settle(page);
  await checkDimensions(page, report, setOut, 390);
  check.that(browser.errors.length === 0, `says ${browser.errors[0]}`);
  check.end(`${check.count} checks of the desk's picture hold; ${reasons} figures with their reasons`);
} finally {
  await desk.end();
  await browser.close();
  fs.rmSync(folder, { recursive: true, force: true });
}
