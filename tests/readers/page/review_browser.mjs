// A headless browser that may reach nothing but the page, and a tally of checks.
import path from "node:path";
import { pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";

const PROGRAM = process.env.CHROMIUM ?? "/usr/bin/chromium";
/** Page and WebGL drawn by the processor, alike on every machine; no traffic of the browser's own. */
const FLAGS = [
  "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-gpu-compositing",
  "--disable-background-networking", "--disable-component-update", "--disable-default-apps",
  "--disable-domain-reliability", "--disable-extensions", "--disable-sync",
  "--no-default-browser-check", "--no-first-run", "--no-pings", "--disable-dev-shm-usage",
  "--force-color-profile=srgb", "--hide-scrollbars",
];
const isOwn = (url) => /^(data|blob|about):/.test(url);

export class Browser {
  /** `loopback`: pages of a server on this computer, too. */
  static async launch({ loopback = false } = {}) {
    const browser = new Browser();
    const resolver = `--host-resolver-rules=MAP * ~NOTFOUND${loopback ? ", EXCLUDE 127.0.0.1" : ""}`;
    const asRoot = process.getuid() === 0 ? ["--no-sandbox"] : [];
    browser.chromium = await puppeteer.launch({
      executablePath: PROGRAM, headless: true, args: [...FLAGS, resolver, ...asRoot], timeout: 0, protocolTimeout: 0,
    });
    browser.errors = [];
    browser.requests = [];
    return browser;
  }

  /** A page of the folder, review.html if no other, at an address (`#...`), drawn. `before` runs on the page before anything else. */
  async open(folder, { file = "review.html", hash = "", viewport = { width: 1280, height: 900 }, before, media, quiet = false } = {}) {
    const page = await this.chromium.newPage();
    page.setDefaultTimeout(0);
    await page.setViewport(viewport);
    if (media) await page.emulateMediaFeatures(media);
    if (before) await page.evaluateOnNewDocument(before);
    const url = pathToFileURL(path.resolve(folder, file)).href;
    page.on("request", (request) => {
      if (request.url().split("#")[0] !== url && !isOwn(request.url())) this.requests.push(request.url());
    });
    page.on("pageerror", (error) => this.errors.push(error.message));
    page.on("console", (message) => {
      const isTrouble = ["error", "warn", "warning"].includes(message.type());
      if (isTrouble && !quiet && !isDriverTalk(message.text())) this.errors.push(message.text());
    });
    await page.goto(url + hash, { waitUntil: "load" });
    await settle(page);
    return page;
  }

  close() {
    return this.chromium.close();
  }
}

/** The software driver warns of slow reading whenever a picture is taken of a WebGL canvas. */
const isDriverTalk = (text) => /GPU stall due to ReadPixels/.test(text);

/** Until what was asked for is drawn. */
export const settle = (page) =>
  page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));

/** The drive goes to a position as a user types it. */
export async function driveTo(page, at) {
  await page.evaluate((value) => {
    const typed = document.getElementById("typed");
    typed.value = value;
    typed.dispatchEvent(new Event("change"));
  }, String(at));
  await settle(page);
}

export const near = (value, expected, within) => Math.abs(value - expected) <= within;

export class Check {
  count = 0;
  failures = [];

  that(holds, otherwise) {
    ++this.count;
    if (!holds) this.failures.push(otherwise);
  }

  end(summary) {
    for (const failure of this.failures) console.log(`wrong: ${failure}`);
    console.log(this.failures.length > 0 ? `${this.failures.length} wrong` : summary);
    process.exitCode = this.failures.length > 0 ? 1 : 0;
  }
}
