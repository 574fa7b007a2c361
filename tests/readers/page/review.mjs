// review.html in a headless browser, against report.json and gate.glb of the same folder.
//   node review.mjs DIR            checks; ends with a line of what was measured
//   node review.mjs DIR --faulty   the same for a gate with findings
//   node review.mjs DIR --brief    without what is alike on every page: keys, phone, contrast, print
//   node review.mjs DIR --opens    only that it is whole, draws its gate and says nothing wrong
import fs from "node:fs";
import path from "node:path";
import { Browser, Check } from "./review_browser.mjs";
import { checkFindings, checkMotion, checkRopes, checkWheels } from "./review_motion.mjs";
import {
  checkAddress, checkBuilt, checkCut, checkDamagedAddresses, checkLostContext, checkMeasure, checkPick, checkPrint, checkSummary,
  checkTyped,
} from "./review_use.mjs";
import { checkCalm, checkContrast, checkKeys, checkNoWebgl, checkPhone } from "./review_access.mjs";

const MOST_BYTES = 3e6, BYTES_PER_PART = 18e3; // the more parts a gate has, all unlike, the more it may be
const folder = process.argv[2];
const isBrief = process.argv.includes("--brief");
const onlyOpens = process.argv.includes("--opens");
const isFaulty = process.argv.includes("--faulty");
const report = JSON.parse(fs.readFileSync(path.join(folder, "report.json")));
const resolved = JSON.parse(fs.readFileSync(path.join(folder, "resolved.json")));
const html = fs.readFileSync(path.join(folder, "review.html"), "utf8");
const check = new Check();

/** Whole in itself, and the same meshes as gate.glb. */
function checkFile() {
  const most = Math.max(MOST_BYTES, BYTES_PER_PART * report.parts.length);
  check.that(html.length <= most, `${html.length} bytes are more than ${most}`);
  const glb = path.join(folder, "gate.glb");
  if (fs.existsSync(glb)) {
    const [, text] = html.match(/<script type="text\/plain" id="glb">([^<]*)<\/script>/);
    check.that(Buffer.from(text, "base64").equals(fs.readFileSync(glb)), "its meshes are not gate.glb");
  }
  check.that(!/<(script|link|img|iframe)[^>]*\b(src|href)=/.test(html), "an element asks for another file");
  for (const caution of report.cautions) check.that(html.includes(escaped(caution)), `no caution "${caution}"`);
  for (const { text } of report.clash.findings) check.that(html.includes(escaped(text)), `no finding "${text}"`);
}

const escaped = (text) => text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;");

/** Frames while the gate is played, by the page's own count. */
async function framesPerSecond(page) {
  await page.click("#closed");
  await page.click("#play");
  const count = () => page.evaluate(() => [leafstackReview.frames(), performance.now()]);
  await page.waitForFunction(() => leafstackReview.at() > 0);
  const [first, begin] = await count();
  await page.waitForFunction((from) => performance.now() - from > 4000 || document.getElementById("play").textContent === "Play", {}, begin);
  const [last, end] = await count();
  await page.click("#closed");
  return ((last - first) * 1000) / (end - begin);
}

checkFile();
const browser = await Browser.launch();
try {
  const page = await browser.open(folder);
  const measured = await page.evaluate(() => leafstackReview.firstPictureMs());
  check.that(measured !== null, "no picture was drawn");
  check.that(report.clash.findings.length > 0 === isFaulty, "findings where none, or none where some were expected");
  await checkMotion(check, page, report);
  await checkFindings(check, page, report);
  await checkBuilt(check, page, report);
  await checkSummary(check, browser, folder);
  await page.bringToFront(); // nothing is drawn behind another page
  if (!onlyOpens) {
    await checkRopes(check, page);
    await checkWheels(check, page, resolved);
    await checkTyped(check, page, report);
    await checkPick(check, page, report);
    await checkMeasure(check, page, report);
    await checkCut(check, page, report);
    await checkAddress(check, browser, page, folder);
  }
  const pace = isBrief || onlyOpens ? "" : `, ${(await framesPerSecond(page)).toFixed(0)} frames a second`;
  if (!isBrief && !onlyOpens) {
    await checkKeys(check, page, report);
    await checkContrast(check, page);
    await checkPrint(check, page, report);
    await checkDamagedAddresses(check, browser, folder);
    await checkCalm(check, browser, folder);
    await checkNoWebgl(check, browser, folder, report);
    await checkLostContext(check, page);
  }
  if ((!isBrief && !onlyOpens) || isFaulty) await checkPhone(check, browser, folder);
  check.that(browser.errors.length === 0, `console: ${browser.errors.join("; ")}`);
  check.that(browser.requests.length === 0, `asked for ${browser.requests.join(", ")}`);
  check.end(`${(html.length / 1e6).toFixed(2)} MB, picture after ${(measured / 1000).toFixed(2)} s${pace}, ` +
    `${check.count} checks`);
} finally {
  await browser.close();
}
