// Pictures of review.html, to be looked at and for the gallery.
//   node review_shots.mjs DIR OUT [NAME...]   OUT/NAME.png of each of SHOTS, or of those named
import path from "node:path";
import { Browser } from "./review_browser.mjs";

const DESKTOP = { width: 1080, height: 740 };
const PHONE = { width: 390, height: 844, isMobile: true, hasTouch: true, deviceScaleFactor: 1 };
const half = (page) => page.click("#half");
const press = (selector) => (page) => page.evaluate((what) => document.querySelector(what)?.click(), selector);
const all = (...steps) => async (page) => {
  for (const step of steps) await step(page);
};
const SHOTS = {
  "page": { full: true, act: half },
  "half": { act: all(half, press("#by-panel")) },
  "closed": { hash: "#at=0&dimensions=on" },
  "road": { hash: "#view=road&dimensions=on", act: half },
  "behind": { hash: "#view=behind", act: half },
  "above": { hash: "#view=above&dimensions=on", act: press("#open") },
  "end": { hash: "#view=end", act: press("#open") },
  "tightest": { act: press("#tightest") },
  "finding": { act: press("[data-finding='0'] button") },
  "cut": { hash: "#at=900&cut=x,2500,flip&look=-62,16,2600,2500,150,700,deep" },
  "cut-level": { hash: "#cut=z,90&view=above" },
  "picked": { act: press("[data-row] .pick") },
  "phone": { viewport: PHONE, full: true, act: half },
  "phone-half": { viewport: PHONE, act: half },
  "phone-tightest": { viewport: PHONE, act: press("#tightest") },
};

const [folder, out, ...names] = process.argv.slice(2);
const browser = await Browser.launch();
try {
  for (const [name, shot] of Object.entries(SHOTS)) {
    if (names.length > 0 && !names.includes(name)) continue;
    const page = await browser.open(folder, { hash: shot.hash, viewport: shot.viewport ?? DESKTOP });
    await shot.act?.(page);
    await page.waitForFunction(() => leafstackReview.isAtRest());
    await page.screenshot({ path: path.join(out, `${name}.png`), fullPage: shot.full ?? false });
    if (name === "page") await page.pdf({ path: path.join(out, "print.pdf"), format: "A4", landscape: true, printBackground: true, timeout: 0 });
    await page.close();
  }
} finally {
  await browser.close();
}
