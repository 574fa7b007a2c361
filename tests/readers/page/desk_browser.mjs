// A desk of the program and its page in a headless browser, for the readers of the desk's page.
import { spawn } from "node:child_process";
import { once } from "node:events";

export const settled = (page) => page.waitForFunction(() => window.leafstackDesk?.isAtRest());
export const field = (pointer) => `#f${pointer.replace(/\W/g, "-")}`;

export class DeskPage {
  /** `words`: what `leafstack desk` is told besides, in `folder`. */
  static async begin(program, browser, folder, ...words) {
    const desk = new DeskPage();
    Object.assign(desk, { browser, folder });
    desk.process = spawn(program, ["desk", "--no-browser", ...words], { cwd: folder, stdio: ["ignore", "pipe", "ignore"] });
    const [address] = await once(desk.process.stdout, "data");
    desk.address = String(address).trim();
    return desk;
  }

  async open(viewport, media = []) {
    const page = await this.browser.chromium.newPage();
    page.setDefaultTimeout(120_000);
    await page.setViewport(viewport);
    await page.emulateMediaFeatures(media);
    page.on("pageerror", (error) => this.browser.errors.push(error.message));
    page.on("console", (message) => {
      if (message.type() === "error" && !/status of 4(09|01|03)/.test(message.text())) this.browser.errors.push(message.text());
    });
    await page.goto(this.address);
    await settled(page);
    return page;
  }

  end() {
    const ended = once(this.process, "exit");
    this.process.kill("SIGINT");
    return ended;
  }
}

/** A field's value as if typed and left; until verdict and picture are those of it. How long that took, by the page's own clock. */
export async function enter(page, pointer, words) {
  const took = await page.evaluate((id, value) => new Promise((done) => {
    const turn = leafstackDesk.turn();
    const input = document.querySelector(id);
    const begun = performance.now();
    let verdict = 0;
    const look = () => {
      if (leafstackDesk.turn() > turn) {
        if (!verdict && !document.body.classList.contains("waits")) verdict = performance.now() - begun;
        if (verdict && leafstackDesk.isAtRest()) return done({ verdict, picture: performance.now() - begun });
      }
      return requestAnimationFrame(look);
    };
    input.value = value;
    input.dispatchEvent(new Event("change"));
    look();
  }), field(pointer), words);
  return took;
}
