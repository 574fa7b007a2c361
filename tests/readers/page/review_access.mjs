// Usable by all: phone, keyboard, contrast, calm, and without WebGL.
import { settle } from "./review_browser.mjs";

const PHONE = { width: 390, height: 844, isMobile: true, hasTouch: true, deviceScaleFactor: 2 };
/** WCAG 2.2: 1.4.3 (contrast of text), 2.5.8 (size of targets, AA). */
const LEAST_CONTRAST = 4.5, LEAST_TARGET_PX = 24;
const atOf = (page) => page.evaluate(() => leafstackReview.at());

export async function checkPhone(check, browser, folder) {
  const page = await browser.open(folder, { viewport: PHONE });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  check.that(wide <= PHONE.width, `the page is ${wide} px wide on a phone of ${PHONE.width}`);
  const bad = await page.$$eval("button, select, input", (all, [width, least]) => all
    .filter((one) => one.checkVisibility())
    .map((one) => ({ box: one.getBoundingClientRect(), name: one.id || one.textContent || one.className }))
    .filter(({ box }) => box.width > 0 && (box.left < 0 || box.right > width || box.height < least || box.width < Math.min(least, 24)))
    .map(({ name, box }) => `${name} (${box.left} to ${box.right}, ${box.width} x ${box.height})`),
    [PHONE.width, LEAST_TARGET_PX]);
  check.that(bad.length === 0, `on a phone out of reach or too small: ${bad.slice(0, 5)}`);
  const picture = await page.$eval("#canvas", (canvas) => canvas.clientWidth);
  check.that(picture > 0.9 * PHONE.width, `the picture is ${picture} px wide on a phone`);
  await page.evaluate(() => document.getElementById("slider").scrollIntoView({ block: "center" }));
  const slider = await (await page.$("#slider")).boundingBox();
  await page.touchscreen.tap(slider.x + slider.width * 0.7, slider.y + slider.height / 2);
  await settle(page);
  check.that((await atOf(page)) > 0, "a tap on the slider moves nothing");
  await page.close();
}

export async function checkKeys(check, page, report) {
  const travel = report.layout.drive_travel_mm;
  const press = async (key) => {
    await page.keyboard.press(key);
    await settle(page);
    return atOf(page);
  };
  await page.evaluate(() => document.activeElement.blur());
  for (const [key, expected] of [["o", travel], ["h", travel / 2], ["c", 0], [".", 10], [">", 110], [",", 100]]) {
    const at = await press(key);
    check.that(Math.abs(at - expected) < 1e-9, `key ${key} goes to ${at}, not ${expected}`);
  }
  await page.focus("#slider");
  const before = await atOf(page);
  check.that((await press("ArrowRight")) > before, "the slider's arrow key moves nothing");
  await page.focus("#canvas");
  const looked = () => page.evaluate(() => leafstackReview.state().look.yaw);
  const yaw = await looked();
  await press("ArrowRight");
  check.that((await looked()) !== yaw, "the picture's arrow key turns nothing");
  const unreachable = await page.$$eval("button, input, select, summary, a[href]",
    (all) => all.filter((one) => one.checkVisibility() && one.tabIndex < 0).length);
  check.that(unreachable === 0, `${unreachable} controls cannot be reached by keyboard`);
  const unnamed = await page.$$eval("button, input, select", (all) => all.filter((one) =>
    !(one.getAttribute("aria-label") || one.textContent.trim() || one.labels?.length)).map((one) => one.outerHTML));
  check.that(unnamed.length === 0, `controls without a name: ${unnamed}`);
  await press("c");
  await page.click('[data-view="corner"]');
}

/** WCAG's ratio of every text that is seen against what is behind it. */
export async function checkContrast(check, page) {
  const poor = await page.evaluate((least) => {
    const parsed = (text) => text.match(/[\d.]+/g).map(Number);
    const light = (rgb) => {
      const [r, g, b] = rgb.slice(0, 3).map((one) => one / 255)
        .map((one) => (one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4));
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const behind = (element) => {
      for (let one = element; one; one = one.parentElement) {
        const colour = parsed(getComputedStyle(one).backgroundColor);
        if (colour.length < 4 || colour[3] > 0.9) return colour;
      }
      return [255, 255, 255];
    };
    const found = [];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    let texts = 0;
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      const element = node.parentElement;
      if (!node.textContent.trim() || element.closest("script, noscript") || !element.checkVisibility()) continue;
      ++texts;
      const style = getComputedStyle(element);
      const isSvg = element.namespaceURI.endsWith("svg");
      const [a, b] = [light(parsed(isSvg ? style.fill : style.color)), light(behind(element))];
      const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
      if (ratio < least) found.push(`"${node.textContent.trim().slice(0, 30)}" ${ratio.toFixed(2)}`);
    }
    return { found, texts };
  }, LEAST_CONTRAST);
  check.that(poor.texts > 50, `only ${poor.texts} texts were looked at`);
  check.that(poor.found.length === 0, `too little contrast: ${poor.found.slice(0, 5).join(", ")}`);
}

/** Where less motion is asked for, play goes in steps with rests. */
export async function checkCalm(check, browser, folder) {
  const page = await browser.open(folder, { media: [{ name: "prefers-reduced-motion", value: "reduce" }] });
  const seen = await page.evaluate(() => new Promise((done) => {
    const positions = new Set();
    document.getElementById("play").click();
    const begin = performance.now();
    const look = () => {
      positions.add(leafstackReview.at());
      if (positions.size > 3 || performance.now() - begin > 20000) done({ count: positions.size, took: performance.now() - begin });
      else requestAnimationFrame(look);
    };
    look();
  }));
  check.that(seen.count > 3 && seen.took > 1500, `calm play took ${seen.count} positions in ${seen.took} ms`);
  await page.close();
}

/** Without WebGL it says so, and slider, chart and tables work. */
export async function checkNoWebgl(check, browser, folder, report) {
  const page = await browser.open(folder, { quiet: true, before: () => {
    const real = HTMLCanvasElement.prototype.getContext;
    HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
      return /webgl/.test(kind) ? null : real.call(this, kind, ...more);
    };
  } });
  check.that(await page.$eval("#no-picture", (one) => one.checkVisibility()), "nothing says that WebGL is missing");
  await page.click("#half");
  check.that(Math.abs((await atOf(page)) - report.layout.drive_travel_mm / 2) < 1e-9, "without WebGL the slider is dead");
  const curves = await page.$$eval(".chart .curve", (all) => all.filter((one) => one.getAttribute("d").length > 20).length);
  const expected = await page.evaluate(() => JSON.parse(document.getElementById("data").textContent).curves.length);
  check.that(expected === 0 || curves > 0, "without WebGL there is no chart");
  check.that((await page.$$("#cautions li")).length === report.cautions.length, "cautions are missing");
  await page.close();
}
