// What a reviewer does: picks, isolates, measures, sends a link, prints.
import { execFileSync } from "node:child_process";
import { near, settle } from "./review_browser.mjs";

const dataOf = (page) => page.evaluate(() => JSON.parse(document.getElementById("data").textContent));
const stateOf = (page) => page.evaluate(() => leafstackReview.state());

/** Where a point of the model is on the screen in a flat view from the road. */
async function screenFromRoad(page, [x, , z]) {
  const { look } = await stateOf(page);
  const box = await (await page.$("#canvas")).boundingBox();
  const perMm = box.height / look.span;
  return [box.x + box.width / 2 + (x - look.target[0]) * perMm, box.y + box.height / 2 - (z - look.target[2]) * perMm];
}

/** The front panel's bottom rail alone, from the road. */
async function isolateRail(page, report) {
  const data = await dataOf(page);
  const panel = report.layout.panels.length;
  const instance = data.instances.findIndex(
    (one) => one.panel === panel && data.parts[one.part].name === "bottom rail");
  const { mark } = data.parts[data.instances[instance].part];
  await page.click("#closed");
  await page.click('[data-view="road"]');
  await page.evaluate((key) => document.querySelector(`[data-row="${key}"] .quiet`).click(), `${mark}@${panel}`);
  await settle(page);
  const box = await page.evaluate((one) => leafstackReview.corners(one), instance);
  return { instance, mark, panel, box, part: data.parts[data.instances[instance].part], data };
}

async function showAll(page) {
  await page.evaluate(() => document.getElementById("show-all").click());
  await page.keyboard.press("Escape");
  await page.click('[data-view="corner"]');
  await settle(page);
}

/** A click in the picture picks the part there, its row too, and the row the part; what is hidden is no target. */
export async function checkPick(check, page, report) {
  const { instance, mark, panel, box, data } = await isolateRail(page, report);
  const hidden = (await stateOf(page)).hidden.length;
  check.that(hidden === (await page.$$("[data-row]")).length - 1, `${hidden} rows hidden by "only"`);
  const middle = box.low.map((one, i) => (one + box.high[i]) / 2);
  await page.mouse.click(...(await screenFromRoad(page, middle)));
  await settle(page);
  check.that((await stateOf(page)).picked === data.instances[instance].name, "the click picked something else");
  const chosen = await page.$$eval("[data-row].chosen", (items) => items.map((one) => one.dataset.row));
  check.that(chosen.join() === `${mark}@${panel}`, `row ${chosen} is marked`);
  const above = [middle[0], middle[1], box.high[2] + 300];
  await page.mouse.click(...(await screenFromRoad(page, above)));
  await settle(page);
  check.that((await stateOf(page)).picked === "", "a hidden part was picked");
  await showAll(page);
  await page.evaluate((key) => document.querySelector(`[data-row="${key}"] .pick`).click(), `${mark}@${panel}`);
  await settle(page);
  const marked = await page.evaluate(() => leafstackReview.marked());
  check.that(marked.length > 0 && marked.every((name) => name.split(".")[0] === mark), `row picked ${marked}`);
  await page.keyboard.press("Escape");
}

/** Of the front panel's rail, by the model's X, which runs the other way on a left-hand gate. */
const risePerMm = (report, box) =>
  Math.sign(box.high[0] + box.low[0]) * Math.tan((report.layout.panels.at(-1).rake_deg * Math.PI) / 180);

/** From corner to corner of a level rail: its length. Along a raked one: as far as the pixels say. */
export async function checkMeasure(check, page, report) {
  const { box, part } = await isolateRail(page, report);
  const { rake_deg: rake } = report.layout.panels.at(-1);
  const middle = box.low.map((one, i) => (one + box.high[i]) / 2);
  const half = 400;
  const rise = risePerMm(report, box) * half;
  const ends = rake ? [[middle[0] - half, 0, middle[2] - rise], [middle[0] + half, 0, middle[2] + rise]]
                    : [[box.low[0] + 8, 0, box.high[2] - 15], [box.high[0] - 8, 0, box.high[2] - 15]];
  const expected = rake ? (2 * half) / Math.cos((rake * Math.PI) / 180) : part.length_mm;
  await page.click("#measure");
  for (const end of ends) {
    await page.mouse.click(...(await screenFromRoad(page, end)));
    await settle(page);
  }
  const { measure, look } = await stateOf(page);
  check.that(measure.length === 2, `${measure.length} points were measured`);
  const words = await page.$eval("#measured", (element) => element.textContent);
  const pixel = look.span / (await (await page.$("#canvas")).boundingBox()).height;
  check.that(near(Number(words.match(/^[\d.]+/)), expected, rake ? 2 * pixel : 0.02), `measured "${words}", not ${expected}`);
  await showAll(page);
}

async function checkHalf(check, page, { box, at, x, isGone, report }) {
  await settle(page);
  const middle = (box.low[2] + box.high[2]) / 2 + risePerMm(report, box) * (x - at);
  const on = await screenFromRoad(page, [x, 0, middle]);
  await page.mouse.click(...on);
  await settle(page);
  check.that(((await stateOf(page)).picked === "") === isGone, "a click hits what is cut off, or not what is left");
  await page.keyboard.press("Escape");
  await page.mouse.move(0, 0);
  await page.waitForFunction(() => leafstackReview.isAtRest());
  const look = ([left, top]) =>
    page.screenshot({ clip: { x: Math.round(left) - 4, y: Math.round(top) - 2, width: 8, height: 4 } });
  const [there, empty] = [await look(on), await look(await screenFromRoad(page, [x, 0, box.high[2] + 500]))];
  check.that(Buffer.from(there).equals(Buffer.from(empty)) === isGone, "the picture shows what is cut off, or not what is left");
}

/** A section through the middle of a rail: the one half is gone from the picture and for clicks, or the other. */
export async function checkCut(check, page, report) {
  const { box } = await isolateRail(page, report);
  const at = (box.low[0] + box.high[0]) / 2;
  await page.select("#cut-axis", "x");
  await settle(page);
  // It looks square at the section, and the section goes through the front panel.
  const first = await stateOf(page);
  check.that(first.look.flat && Math.abs(first.look.yaw) === 90 && first.look.pitch === 0, "the view is not square to the section");
  check.that(first.cut.at > box.low[0] && first.cut.at < box.high[0], `the section at ${first.cut.at} misses the front panel`);
  await page.click('[data-view="road"]');
  await page.evaluate((middle) => {
    const slider = document.getElementById("cut-at");
    slider.value = Math.round(middle);
    slider.dispatchEvent(new Event("input"));
  }, at);
  await settle(page);
  // What stays at first, and how the position reads, is as seen from the latch post for both hands.
  const sign = (await dataOf(page)).opening_sign;
  const typed = await page.$eval("#cut-typed", (one) => one.valueAsNumber);
  check.that(typed === sign * Math.round(at), `the section at ${at} reads ${typed}`);
  for (const isFlipped of [sign < 0, sign > 0]) {
    await checkHalf(check, page, { box, at, x: (at + box.high[0]) / 2, isGone: !isFlipped, report });
    await checkHalf(check, page, { box, at, x: (at + box.low[0]) / 2, isGone: isFlipped, report });
    await page.click("#cut-flip");
    await page.click('[data-view="road"]');
  }
  await page.evaluate((mm) => {
    const input = document.getElementById("cut-typed");
    input.value = mm;
    input.dispatchEvent(new Event("change"));
  }, sign * at + 12.5);
  check.that(near((await stateOf(page)).cut.at, at + sign * 12.5, 1e-9), "typed millimetres do not move the section");
  await page.select("#cut-axis", "");
  await showAll(page);
}

/** Another window at the same address shows the same, to the pixel. */
export async function checkAddress(check, browser, page, folder) {
  const data = await dataOf(page);
  await page.evaluate((at) => {
    const typed = document.getElementById("typed");
    typed.value = at;
    typed.dispatchEvent(new Event("change"));
  }, String(0.4 * data.drive_travel_mm));
  await page.select("#dimensions", "client");
  await page.click("#by-panel");
  await page.select("#cut-axis", "z");
  await page.evaluate(() => document.querySelector("[data-row] input").click());
  await page.evaluate(() => document.querySelectorAll("[data-row] .pick")[1].click());
  const box = await (await page.$("#canvas")).boundingBox();
  await page.mouse.move(box.x + 200, box.y + 100);
  await page.mouse.down();
  await page.mouse.move(box.x + 330, box.y + 140, { steps: 4 });
  await page.mouse.up();
  await settle(page);
  const hash = await page.evaluate(() => leafstackReview.address());
  await page.waitForFunction((text) => location.hash === `#${text}`, {}, hash);
  const other = await browser.open(folder, { hash: `#${hash}` });
  const [mine, theirs] = [await stateOf(page), await stateOf(other)];
  check.that(mine.cut !== null && mine.hidden.length === 1 && mine.view === "", "the address had little to say");
  check.that(near(mine.at, theirs.at, 0.01), `at is not restored by ${hash}`);
  for (const key of ["view", "hidden", "picked", "cut", "dimensions", "byPanel"]) {
    check.that(JSON.stringify(mine[key]) === JSON.stringify(theirs[key]), `${key} is not restored by ${hash}`);
  }
  const overlay = (one) => one.$$eval("#overlay text", (texts) => texts.map((text) => text.textContent).join());
  check.that((await overlay(page)) === (await overlay(other)) && (await overlay(other)) !== "", "other dimensions");
  for (const axis of [0, 1, 2]) {
    check.that(near(mine.look.target[axis], theirs.look.target[axis], 0.06), "the link looks elsewhere");
  }
  check.that(near(mine.look.yaw, theirs.look.yaw, 0.06) && near(mine.look.span, theirs.look.span, 0.06), "the link looks otherwise");
  await other.close();
  const odd = await browser.open(folder, { hash: "#at=1e9&hide=..,x&look=1,2&pair=99&cut=w,1&measure=9,9&pick=%E0%A4%A" });
  const { at, pair, cut, hidden } = await stateOf(odd);
  check.that(at === data.drive_travel_mm && !pair && !cut && hidden.length === 0, "a bad address was believed");
  await odd.close();
  await page.evaluate(() => { location.hash = "#at=0"; });
  await page.waitForFunction(() => leafstackReview.at() === 0 && leafstackReview.state().view === "corner");
}

/** Printed: pictures, chart, findings and all cautions, by the words in the PDF. */
export async function checkPrint(check, page, report) {
  const pdf = Buffer.from(await page.pdf({ format: "A4", landscape: true, printBackground: true, timeout: 0 }));
  const text = execFileSync("pdftotext", ["-", "-"], { input: pdf, maxBuffer: 1e8 }).toString();
  const bare = (words) => words.replace(/[\s-]+/g, "");
  for (const caution of report.cautions) check.that(bare(text).includes(bare(caution)), `"${caution}" is not printed`);
  for (const finding of report.clash.findings) check.that(bare(text).includes(bare(finding.text)), `"${finding.text}" is not printed`);
  check.that(/Half open, from the road/.test(text), "no pictures are printed");
  const images = execFileSync("pdfimages", ["-list", "-"], { input: pdf }).toString().match(/ image /g) ?? [];
  check.that(images.length >= 4, `${images.length} pictures are printed`);
}

/** The summary beside it stays within a window, and within the width of an A4 sheet's print. */
export async function checkSummary(check, browser, folder) {
  const page = await browser.open(folder, { file: "summary.html", viewport: { width: 1280, height: 900 } });
  const within = () => page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth);
  check.that(await within(), "the summary is wider than a window of 1280");
  await page.emulateMediaType("print");
  await page.setViewport({ width: 718, height: 1000 });
  check.that(await within(), "the summary is wider than the 190 mm that A4 prints");
  await page.close();
}

/** Words that no page writes, or that another revision's page did: left out or held to what there is. */
export async function checkDamagedAddresses(check, browser, folder) {
  const all = (await (await browser.open(folder)).evaluate(() => leafstackReview.state())).hidden;
  check.that(all.length === 0, "something is hidden from the start");
  for (const [hash, holds] of [
    ["measure=0.5,1,2,3", (state) => state.measure.length === 0],
    ["only=zzz", (state) => state.hidden.length === 0],
    ["look=0,500,1e-9,0,0,0,deep", (state) => state.look.span >= 1 && state.look.pitch <= 90],
    ["cut=x,1e9", (state) => Math.abs(state.cut.at) < 1e6],
    ["at=1e308&pick=%E0%A4%A", (state) => Number.isFinite(state.at) && state.picked === ""],
  ]) {
    const page = await browser.open(folder, { hash: `#${hash}` });
    check.that(holds(await stateOf(page)), `#${hash} is taken as it stands`);
    await page.waitForFunction(() => leafstackReview.isAtRest(), { timeout: 20000 })
      .catch(() => check.that(false, `#${hash} leaves the picture undrawn`));
    await page.close();
  }
}

/** Figures out of reach, and none: the box shows where the gate stands. */
export async function checkTyped(check, page, report) {
  const travel = report.layout.drive_travel_mm;
  const typed = async (text) => {
    await page.$eval("#typed", (input, value) => {
      input.focus();
      input.value = value;
      input.dispatchEvent(new Event("change"));
    }, text);
    await settle(page);
    return [await page.evaluate(() => leafstackReview.at()), Number(await page.$eval("#typed", (input) => input.value))];
  };
  for (const [text, expected] of [["88888", travel], ["99999", travel], ["-6", 0], ["-7", 0], ["120", 120], ["", 120]]) {
    const [at, told] = await typed(text);
    check.that(near(at, expected, 1e-9) && near(told, expected, 0.01), `"${text}" typed: at ${at}, the box says ${told}`);
  }
  await page.click("#closed");
}

/** Pairs that build errors can bring together: all of the report's, each with a way to it. */
export async function checkBuilt(check, page, report) {
  const pairs = report.clash.as_built?.tightest ?? [];
  const rows = await page.$$("[data-built]");
  check.that(rows.length === pairs.length, `${rows.length} pairs as built, not ${pairs.length}`);
  for (const [i, pair] of pairs.slice(0, 3).entries()) {
    await page.click(`[data-built="${i}"] button`);
    await settle(page);
    check.that(near(await page.evaluate(() => leafstackReview.at()), pair.at_mm, 0.01), `pair ${i + 1} is not at ${pair.at_mm}`);
    const marks = new Set((await page.evaluate(() => leafstackReview.marked())).map((name) => name.split(".")[0]));
    check.that([...marks].sort().join() === [...new Set([pair.a.mark, pair.b.mark])].sort().join(), `${[...marks]} are marked`);
    const text = await page.$eval(`[data-built="${i}"]`, (row) => row.textContent);
    check.that(text.includes(String(Number(pair.left_mm.toFixed(2)))), `pair ${i + 1} reads ${text}`);
  }
  if (pairs.length > 0) await page.keyboard.press("Escape");
}

/** Browsers take a picture's memory back; it is said, and the picture comes again. */
export async function checkLostContext(check, page) {
  await page.bringToFront(); // pages behind draw nothing
  const shown = () => page.$eval("#lost", (one) => one.checkVisibility());
  await page.evaluate(() => {
    const canvas = document.getElementById("canvas");
    window.lose = (canvas.getContext("webgl2") ?? canvas.getContext("webgl")).getExtension("WEBGL_lose_context");
    window.lose.loseContext();
  });
  await page.waitForFunction(() => !document.getElementById("lost").hidden, { timeout: 10000 }).catch(() => {});
  check.that(await shown(), "nothing says that the picture is lost");
  const before = await page.evaluate(() => leafstackReview.frames());
  await page.evaluate(() => window.lose.restoreContext());
  await page.waitForFunction((count) => document.getElementById("lost").hidden && leafstackReview.frames() > count,
    { timeout: 10000 }, before).catch(() => check.that(false, "the picture does not come back"));
}
