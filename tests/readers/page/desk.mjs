// The desk in a headless browser: a gate designed by the keyboard alone, and on a phone's screen.
//   node desk.mjs PROGRAM            checks; ends with a line of what was measured
//   node desk.mjs PROGRAM --brief    fewer random edits to undo
//   node desk.mjs PROGRAM --shots DIR   pictures of the screens besides, to look at
// Figures are held against `check --json` of the same text; sizes and contrast against WCAG 2.2.
import { execFileSync, spawn, spawnSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { Browser, Check } from "./review_browser.mjs";

const program = path.resolve(process.argv[2]);
const shots = process.argv[3] === "--shots" ? process.argv[4] : null;
const randomEdits = process.argv[3] === "--brief" ? 25 : 100;
const check = new Check();
const browser = await Browser.launch({ loopback: true });
const times = [], begun = [];

class Desk {
  static async begin(folder, ...words) {
    const desk = new Desk();
    desk.folder = folder;
    desk.process = spawn(program, ["desk", "--no-browser", ...words], { cwd: folder, stdio: ["ignore", "pipe", "ignore"] });
    begun.push(desk.process);
    desk.address = await new Promise((done) => desk.process.stdout.once("data", (data) => done(String(data).trim())));
    return desk;
  }

  async open(viewport, media = []) {
    const page = await browser.chromium.newPage();
    page.setDefaultTimeout(60_000);
    await page.setViewport(viewport);
    await page.emulateMediaFeatures(media);
    page.on("request", (request) => {
      if (!request.url().startsWith(this.address.split("#")[0]) && !/^(data|blob):/.test(request.url())) browser.requests.push(request.url());
    });
    page.on("pageerror", (error) => browser.errors.push(error.message));
    page.on("console", (message) => {
      if (message.type() === "error" && !/status of 4(09|01|03)/.test(message.text())) browser.errors.push(message.text());
    });
    await page.goto(this.address);
    await settled(page);
    return page;
  }

  end() {
    return new Promise((done) => {
      this.process.once("exit", done);
      this.process.kill("SIGINT");
    });
  }
}

/** Until verdict and picture are those of the newest text. */
const settled = (page) => page.waitForFunction(() => window.leafstackDesk?.isAtRest());
const turnOf = (page) => page.evaluate(() => leafstackDesk.turn());

/** Runs what changes the gate; how long it took to the verdict. */
async function edited(page, act) {
  const before = await turnOf(page);
  await page.evaluate((turn) => {
    window.editedAt = performance.now();
    window.verdictAt = null;
    const wait = () => {
      if (leafstackDesk.turn() > turn && !document.body.classList.contains("waits")) window.verdictAt = performance.now();
      else requestAnimationFrame(wait);
    };
    wait();
  }, before);
  await act();
  await page.waitForFunction(() => window.verdictAt !== null);
  const took = await page.evaluate(() => window.verdictAt - window.editedAt);
  await settled(page);
  times.push(took);
  return took;
}

/** Tab, until a place has the focus: `wanted` is a selector. */
async function tabTo(page, wanted, most = 400) {
  for (let i = 0; i < most; ++i) {
    if (await page.evaluate((one) => document.activeElement?.matches(one), wanted)) return true;
    await page.keyboard.press("Tab");
  }
  check.that(false, `no way by Tab to ${wanted}`);
  return false;
}

const field = (pointer) => `#f${pointer.replace(/\W/g, "-")}`;

async function type(page, pointer, words) {
  if (!(await tabTo(page, field(pointer)))) return;
  await page.keyboard.down("Control");
  await page.keyboard.press("a");
  await page.keyboard.up("Control");
  await edited(page, async () => {
    await page.keyboard.type(words);
    await page.keyboard.press("Enter");
  });
}

/** Report and verdict on the page are those of `check --json` on the same text. */
async function checkFigures(page, folder, what) {
  const text = await page.evaluate(() => leafstackDesk.text());
  const file = path.join(folder, "trial.json");
  fs.writeFileSync(file, text);
  const { stdout } = spawnSync(program, ["check", file, "--json"], { maxBuffer: 1e8 });
  const expected = JSON.parse(stdout);
  const found = await page.evaluate(() => leafstackDesk.answer().report);
  found.structure.frequencies_Hz = expected.structure.frequencies_Hz; // which no verdict waits for
  for (const key of ["layout", "stack", "drive", "structure", "ropes", "clash"]) {
    check.that(JSON.stringify(found[key]) === JSON.stringify(expected[key]), `${what}: another ${key}`);
  }
  const line = await page.$eval("#verdict", (one) => one.textContent);
  check.that(line.startsWith(expected.verdict.ready ? "READY" : "NOT READY"), `${what}: ${line}`);
  const figures = await page.$eval("#figure-list", (one) => one.textContent);
  check.that(figures.includes(`${Math.round(expected.layout.room_total_mm)} mm`), `${what}: no room in ${figures}`);
}

/** From nothing to a folder, with keys alone. */
async function byKeyboard(page, desk) {
  check.that(await page.evaluate(() => document.activeElement === document.body), "something has the focus at first");
  await type(page, "/site/opening_mm", "5,8 m");
  const came = await page.$eval(`${field("/site/opening_mm")}`, (one) => one.closest(".field").querySelector(".came").textContent);
  check.that(came.includes("5800"), `5,8 m came to ${came}`);
  await type(page, "/site/room_mm", "3300");
  await type(page, "/gate/height_mm", "1650");
  await checkFigures(page, desk.folder, "by keyboard");
  // A mistake is told beside its field, and the last result stays.
  await type(page, "/gate/height_mm", "wide");
  const told = await page.evaluate((one) => {
    const input = document.querySelector(one);
    const error = document.getElementById(input.getAttribute("aria-describedby").split(" ")[1]);
    return { invalid: input.getAttribute("aria-invalid"), words: error.textContent, hidden: error.hidden };
  }, field("/gate/height_mm"));
  check.that(told.invalid === "true" && !told.hidden && told.words.length > 10, `a mistake is told as ${JSON.stringify(told)}`);
  const verdict = await page.$eval("#verdict", (one) => one.textContent);
  check.that(verdict.startsWith("NOT JUDGED: Gate, Height"), `with a mistake: ${verdict}`);
  const task = await page.$eval("#tasks", (one) => ({ words: one.textContent, ways: one.querySelectorAll("button").length }));
  check.that(task.words.includes("Gate, Height") && task.words.includes(told.words.split(";")[0]) && task.ways > 0, `what to do about a mistake: ${task.words}`);
  await edited(page, async () => {
    await page.keyboard.down("Control");
    await page.keyboard.press("z");
    await page.keyboard.up("Control");
  });
  await checkFigures(page, desk.folder, "after undo");
  await page.keyboard.down("Control");
  await page.keyboard.press("s");
  await page.keyboard.up("Control");
  await page.waitForFunction(() => document.getElementById("save").disabled);
  const saved = fs.readFileSync(path.join(desk.folder, "gate.json"), "utf8");
  check.that(saved === (await page.evaluate(() => leafstackDesk.text())), "what is saved is not the page's text");
  check.that(saved.includes('"5,8 m"'), "what was typed is not what was written");
  await tabTo(page, "#build-folder");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => /files in|Not handed/.test(document.getElementById("build-state").textContent), { timeout: 180_000 });
  const state = await page.$eval("#build-state", (one) => one.textContent);
  const folder = path.join(desk.folder, "out");
  check.that(fs.existsSync(path.join(folder, "manifest.json")) && state.includes("files in"), `handed out: ${state}`);
  if (fs.existsSync(path.join(folder, "report.json"))) {
    const report = JSON.parse(fs.readFileSync(path.join(folder, "report.json")));
    check.that(report.layout.opening_mm === 5800, "the folder is of another gate");
  }
}

/** Random edits by the page's own fields, then back as far as it goes: the first text to the byte. */
async function undo(page, count, first) {
  let seed = 20261130;
  const random = (below) => (seed = (seed * 48271) % 2147483647) % below;
  const wanted = [["/site/opening_mm", () => 4000 + random(3000)], ["/gate/height_mm", () => 1200 + random(700)],
    ["/gate/overlap_mm", () => 60 + random(100)], ["/site/room_mm", () => ""], ["/job/title", () => `Job ${random(1000)}`],
    ["/site/opens", () => ["left", "right"][random(2)]], ["/gate/infill/gap_mm", () => 40 + random(60)]];
  for (let i = 0; i < count; ++i) {
    const [pointer, value] = wanted[random(wanted.length)];
    await page.evaluate((id, words) => {
      const input = document.querySelector(id);
      input.value = words;
      input.dispatchEvent(new Event("change"));
    }, field(pointer), String(value()));
    if (random(4) === 0) await page.waitForFunction(() => !document.body.classList.contains("waits"));
  }
  await page.waitForFunction(() => !document.body.classList.contains("waits"));
  check.that((await page.evaluate(() => leafstackDesk.text())) !== first, "no edit changed the text");
  for (let i = 0; i < 2 * count && !(await page.$eval("#undo", (one) => one.disabled)); ++i) {
    await page.evaluate(() => document.getElementById("undo").click());
    await page.waitForFunction(() => !document.body.classList.contains("waits"));
  }
  check.that((await page.evaluate(() => leafstackDesk.text())) === first, `${count} edits undone are not the first text`);
}

/** Texts of a gate file stay texts. */
async function checkScripts(page) {
  await edited(page, () => page.evaluate((id) => {
    const input = document.querySelector(id);
    input.value = "<img src=x onerror=window.hurt=1><script>window.hurt=1</script>";
    input.dispatchEvent(new Event("change"));
  }, field("/job/title")));
  check.that(await page.evaluate(() => window.hurt === undefined && !document.querySelector("img[src=x]")), "a job's title runs as a script");
}

/** On a phone: nothing wider than the screen, what is to be touched is large enough, design by touch. */
async function onPhone(desk) {
  const page = await desk.open({ width: 390, height: 844, isMobile: true, hasTouch: true });
  check.that((await page.evaluate(() => document.documentElement.scrollWidth)) <= 390, "wider than a phone");
  const small = await page.evaluate(() => [...document.querySelectorAll("button, select, input:not([type=checkbox]):not([type=range])")]
    .filter((one) => one.offsetParent && !one.classList.contains("quiet") && (one.offsetHeight < 24 || one.offsetWidth < 24)).map((one) => one.id || one.textContent));
  check.that(small.length === 0, `too small to be touched (WCAG 2.2, 2.5.8): ${small.join(", ")}`);
  for (const [pointer, words] of [["/site/opening_mm", "5500"], ["/gate/height_mm", "1,4 m"], ["/site/room_mm", "3200"]]) {
    await page.$eval(field(pointer), (one) => one.scrollIntoView({ block: "center" }));
    await page.tap(field(pointer));
    await edited(page, async () => {
      await page.$eval(field(pointer), (one) => one.select());
      await page.keyboard.type(words);
      await page.keyboard.press("Enter");
    });
  }
  await checkFigures(page, desk.folder, "on a phone");
  const stays = await page.$eval("#verdict", (one) => one.getBoundingClientRect().top >= 0 && one.getBoundingClientRect().bottom < 300);
  check.that(stays, "the verdict is not seen beside what is typed");
  if (shots) await page.screenshot({ path: path.join(shots, "phone.png") });
  const session = await page.createCDPSession();
  await session.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: desk.folder, eventsEnabled: true });
  await page.$eval("#build-zip", (one) => one.scrollIntoView()); // not behind the verdict, which stays in sight
  await page.tap("#build-zip");
  await page.waitForFunction(() => /files, as|Not handed/.test(document.getElementById("build-state").textContent), { timeout: 180_000 });
  const file = path.join(desk.folder, "gate.zip");
  for (let i = 0; i < 100 && !fs.existsSync(file); ++i) await new Promise((done) => setTimeout(done, 100));
  check.that(fs.existsSync(file), `no zip: ${await page.$eval("#build-state", (one) => one.textContent)}`);
  if (fs.existsSync(file)) {
    const names = execFileSync("/usr/bin/python3", ["-c", "import sys, zipfile; print(*zipfile.ZipFile(sys.argv[1]).namelist())", file]).toString();
    check.that(names.includes("gate/report.json") && names.includes("gate/manifest.json"), "the zip is not whole");
  }
  await page.close();
}

/** The site sheet from disk: ranges told, saved, read by the program; alone, without any network. */
async function checkSheet(folder) {
  const sheet = path.join(folder, "site.html");
  execFileSync(program, ["new", "--site-sheet", "-o", sheet]);
  const page = await browser.chromium.newPage();
  await page.setViewport({ width: 390, height: 844, isMobile: true, hasTouch: true });
  page.on("pageerror", (error) => browser.errors.push(error.message));
  await page.goto(`file://${sheet}`);
  check.that((await page.evaluate(() => document.documentElement.scrollWidth)) <= 390, "the site sheet is wider than a phone");
  const session = await page.createCDPSession();
  await session.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: path.join(folder, "sheet") });
  const type = (id, words) => page.type(id, words);
  await type("#s-site-opening_mm", "12");
  await page.click("#save");
  check.that((await page.$eval("#s-site-opening_mm", (one) => one.getAttribute("aria-invalid"))) === "true", "12 mm of opening are taken");
  await page.$eval("#s-site-opening_mm", (one) => { one.value = ""; });
  await type("#s-site-opening_mm", "5600");
  await type("#s-site-room_mm", "3,3 m");
  await page.$eval("#s-site-room_mm", (one) => one.dispatchEvent(new Event("change")));
  const last = await page.$eval("#levels tbody tr:last-child th", (one) => Number(one.textContent));
  check.that(last >= 8900, `levels are asked up to ${last} mm of 8900`);
  for (const [at, level] of [["0,0", "0"], ["0,3000", "-12,5"], ["0,5500", "8"]]) await type(`[data-at="${at}"]`, level);
  await type("#r1", "brick pier */ on the left");
  await page.click("#save");
  const file = path.join(folder, "sheet", "gate.json");
  for (let i = 0; i < 100 && !fs.existsSync(file); ++i) await new Promise((done) => setTimeout(done, 100));
  const { stdout, stderr } = spawnSync(program, ["check", file, "--json"], { maxBuffer: 1e8 });
  const report = JSON.parse(String(stdout) || "{}");
  check.that(report.layout?.opening_mm === 5600 && report.layout?.room_given_mm === 3300, `the sheet's gate: ${stderr}`);
  check.that(JSON.stringify(JSON.parse(fs.readFileSync(file, "utf8").replace(/^\/\/.*$/gm, "")).site.track_survey_mm) === "[[0,0],[3000,-12.5],[5500,8]]", "the levels are not in the gate file");
  if (shots) await page.screenshot({ path: path.join(shots, "sheet.png") });
  if (shots) await page.pdf({ path: path.join(shots, "sheet.pdf"), preferCSSPageSize: true });
  await page.close();
}

/** Contrast of what is read, by WCAG 2.2's formula. */
async function checkContrast(page, what) {
  const faint = await page.evaluate(() => {
    const numbers = (text) => text.match(/[\d.]+/g).map(Number);
    const light = ([r, g, b]) => [r, g, b].map((one) => one / 255).map((one) => (one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4))
      .reduce((total, one, i) => total + one * [0.2126, 0.7152, 0.0722][i], 0);
    const behind = (one) => {
      for (let up = one; up; up = up.parentElement) {
        const colour = numbers(getComputedStyle(up).backgroundColor);
        if (colour.length < 4 || colour[3] > 0.9) return colour;
      }
      return [255, 255, 255];
    };
    return [...document.querySelectorAll("h1, h2, h4, p, label, summary, button, td, th, dt, dd, li, .unit, .came")]
      .filter((one) => one.offsetParent && one.textContent.trim() && !one.disabled)
      .map((one) => {
        const [a, b] = [light(numbers(getComputedStyle(one).color)), light(behind(one))].sort((p, q) => q - p);
        return { words: one.textContent.trim().slice(0, 30), ratio: (a + 0.05) / (b + 0.05) };
      }).filter((one) => one.ratio < 4.5);
  });
  check.that(faint.length === 0, `${what}: faint ${JSON.stringify(faint.slice(0, 4))}`);
}

const folder = fs.mkdtempSync(path.join(os.tmpdir(), "leafstack-desk-"));
try {
  const desk = await Desk.begin(folder, "-o", "out");
  const began = Date.now();
  const page = await desk.open({ width: 1440, height: 900 });
  const first = Date.now() - began;
  check.that(!page.url().includes("#"), "the code stays in the address");
  if (shots) await page.screenshot({ path: path.join(shots, "light.png") });
  await checkContrast(page, "light");
  const text = await page.evaluate(() => leafstackDesk.text());
  await byKeyboard(page, desk);
  await undo(page, randomEdits, text);
  await checkScripts(page);
  // The code was used: another window has no way in; a second tab with the pass is told.
  const pass = await page.evaluate(() => sessionStorage.getItem("leafstack-desk-pass"));
  const stranger = await browser.chromium.newPage();
  await stranger.goto(desk.address);
  await stranger.waitForFunction(() => /printed/.test(document.getElementById("verdict").textContent));
  await stranger.evaluate((one) => sessionStorage.setItem("leafstack-desk-pass", one), pass);
  await stranger.goto("about:blank");
  await stranger.goto(desk.address.split("#")[0]);
  await settled(stranger);
  await stranger.close();
  await page.bringToFront();
  await page.waitForFunction(() => /another tab/.test(document.getElementById("notices").textContent));
  await page.emulateMediaFeatures([{ name: "prefers-color-scheme", value: "dark" }]);
  const unsaved = await page.evaluate(() => leafstackDesk.text());
  await page.reload();
  await settled(page);
  check.that((await page.evaluate(() => leafstackDesk.text())) === unsaved, "what was not saved is lost by a reload");
  await checkContrast(page, "dark");
  if (shots) await page.screenshot({ path: path.join(shots, "dark.png") });
  await page.setViewport({ width: 720, height: 450, deviceScaleFactor: 2 }); // 1440 x 900 at 200 %
  check.that((await page.evaluate(() => document.documentElement.scrollWidth)) <= 720, "wider than the window at 200 %");
  if (shots) await page.screenshot({ path: path.join(shots, "zoom.png") });
  await page.close();
  await desk.end();
  const other = await Desk.begin(folder);
  await onPhone(other);
  await checkSheet(folder);
  await other.end();
  check.that(browser.requests.length === 0, `asks elsewhere: ${browser.requests[0]}`);
  check.that(browser.errors.length === 0, `says ${browser.errors[0]}`);
  const sorted = times.sort((a, b) => a - b);
  check.end(`${check.count} checks of the desk's page hold; first picture ${first} ms after the page was asked for, ` +
    `edit to verdict ${Math.round(sorted[0])} to ${Math.round(sorted.at(-1))} ms, median ${Math.round(sorted[sorted.length >> 1])} ms`);
} finally {
  for (const one of begun) one.kill("SIGINT");
  await browser.close();
  fs.rmSync(folder, { recursive: true, force: true });
}
