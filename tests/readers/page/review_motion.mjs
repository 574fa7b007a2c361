// Does everything stand where report.json says, at every position?
import { driveTo, near, settle } from "./review_browser.mjs";

/** Rounding of what the page is given, and of single precision at ten metres. */
const EXACT_MM = 0.005;
/** The least of a mesh's error and of a row's. */
const MESH_MM = 0.25;
/** A wheel stands square to the slope it is on: its middle is over another place by radius times slope. */
const WHEEL_MM = 0.15;

const dataOf = (page) => page.evaluate(() => JSON.parse(document.getElementById("data").textContent));
const placesOf = (page) => page.evaluate(() => leafstackReview.places());
const boxOf = (page, instance) => page.evaluate((one) => leafstackReview.corners(one), instance);

/** Panels by their rails' ends: each goes k times the drive, and stands where the layout has it. */
export async function checkMotion(check, page, report) {
  const data = await dataOf(page);
  const { layout } = report;
  const sign = data.opening_sign;
  check.that(data.drive_travel_mm === layout.drive_travel_mm, "another drive travel than the report's");
  const rails = layout.panels.map((panel) => data.instances.findIndex(
    (one) => one.panel === panel.number && data.parts[one.part].name === "bottom rail"));
  const closed = [];
  for (const rail of rails) closed.push(await boxOf(page, rail));
  for (const share of [0, 0.137, 0.5, 0.82, 1]) {
    const at = share * layout.drive_travel_mm;
    await driveTo(page, at);
    const places = await placesOf(page);
    for (const [i, panel] of layout.panels.entries()) {
      const box = await boxOf(page, rails[i]);
      const gone = sign * panel.speed_ratio * at;
      const isTurned = Math.abs(places[panel.number].turn_rad) > 0;
      if (!isTurned) {
        check.that(near(places[panel.number].shift_mm[0], gone, EXACT_MM),
          `panel ${panel.number} went ${places[panel.number].shift_mm[0]} at ${at}, not ${gone}`);
        check.that(near(box.low[0] - closed[i].low[0], gone, EXACT_MM), `panel ${panel.number}'s rail did not go ${gone}`);
      }
      checkEnds(check, { panel, box, share, sign, isTurned });
    }
    check.that(places[0].shift_mm.every((one) => one === 0), "what stands still moved");
  }
  await driveTo(page, 0);
}

/** The rail's ends at either end of the travel; raked ends lean, by less than the rail's height. */
function checkEnds(check, { panel, box, share, sign, isTurned }) {
  if (share !== 0 && share !== 1) return;
  const [leading, trailing] = share === 0 ? [panel.leading_closed_mm, panel.trailing_closed_mm]
                                          : [panel.leading_open_mm, panel.trailing_open_mm];
  const [low, high] = [sign * leading, sign * trailing].sort((p, q) => p - q);
  const within = isTurned || panel.rake_deg ? 20 : EXACT_MM;
  check.that(near(box.low[0], low, within) && near(box.high[0], high, within),
    `panel ${panel.number} stands at ${box.low[0]} to ${box.high[0]}, not ${low} to ${high}`);
}

/**
 * The driveway's height at an X of the layout, on a panel's track: a grade, or a natural cubic spline, straight beyond
 * its ends.
 */
function groundOf(resolved, panel) {
  const valueOf = (pointer) => resolved.values.find((one) => one.pointer === pointer)?.value;
  const survey = valueOf("/site/track_survey_mm") ?? [];
  const points = Array.isArray(survey[0]?.[0]) ? survey[panel - 1] : survey; // a line for every track, or one
  if (points.length < 2) return (x) => valueOf("/site/grade") * x;
  // Second derivatives at the points, by Gauss-Seidel: the matrix is diagonally dominant.
  const bends = points.map(() => 0);
  const width = (i) => points[i + 1][0] - points[i][0];
  const slope = (i) => (points[i + 1][1] - points[i][1]) / width(i);
  for (let round = 0; round < 200; ++round) {
    for (let i = 1; i + 1 < points.length; ++i) {
      bends[i] = (6 * (slope(i) - slope(i - 1)) - width(i - 1) * bends[i - 1] - width(i) * bends[i + 1]) /
        (2 * (width(i - 1) + width(i)));
    }
  }
  const within = (i, x) => {
    const [a, b] = [points[i + 1][0] - x, x - points[i][0]];
    const h = width(i);
    return (bends[i] * a ** 3 + bends[i + 1] * b ** 3) / (6 * h) +
      (points[i][1] / h - (bends[i] * h) / 6) * a + (points[i + 1][1] / h - (bends[i + 1] * h) / 6) * b;
  };
  const last = points.length - 2;
  return (x) => {
    if (x < points[0][0]) return points[0][1] + (x - points[0][0]) * (slope(0) - (width(0) * bends[1]) / 6);
    if (x > points[last + 1][0]) return points[last + 1][1] + (x - points[last + 1][0]) * (slope(last) + (width(last) * bends[last]) / 6);
    return within(points.findIndex((_, i) => i <= last && x <= points[i + 1][0]), x);
  };
}

/** Wheels keep their height over the driveway, wherever they go: what grade or survey say, worked out anew. */
export async function checkWheels(check, page, resolved) {
  const data = await dataOf(page);
  const grounds = data.panels.map((_, i) => groundOf(resolved, i + 1));
  const wheels = data.instances.flatMap((one, i) => (data.parts[one.part].name === "track wheel" ? [i] : []));
  check.that(wheels.length === 2 * data.panels.length, `${wheels.length} wheels`);
  const over = async (wheel) => {
    const { low, high } = await boxOf(page, wheel);
    const ground = grounds[data.instances[wheel].body - 1];
    return (low[2] + high[2]) / 2 - ground((data.opening_sign * (low[0] + high[0])) / 2);
  };
  await driveTo(page, 0);
  const closed = [];
  for (const wheel of wheels) closed.push(await over(wheel));
  for (const share of [0.11, 0.37, 0.5, 0.73, 1]) {
    await driveTo(page, share * data.drive_travel_mm);
    for (const [i, wheel] of wheels.entries()) {
      const now = await over(wheel);
      check.that(near(now, closed[i], WHEEL_MM), `wheel ${data.instances[wheel].name} is ${now - closed[i]} mm off the ground`);
    }
  }
  await driveTo(page, 0);
}

/** A rope's ends go with what holds them: the farther one is where the rope's box ends. */
export async function checkRopes(check, page) {
  const data = await dataOf(page);
  for (const share of [0, 0.3, 1]) {
    await driveTo(page, share * data.drive_travel_mm);
    for (const rope of data.ropes) {
      const { name, body } = data.instances[rope.instance];
      const box = await boxOf(page, rope.instance);
      const pulley = (await pointNow(page, body, rope.strands[0].near_mm))[0];
      const ends = [];
      for (const strand of rope.strands) ends.push((await pointNow(page, strand.body, strand.far_mm))[0]);
      const farthest = ends.sort((p, q) => Math.abs(q - pulley) - Math.abs(p - pulley))[0];
      const end = farthest > pulley ? box.high[0] : box.low[0];
      check.that(near(end, farthest, MESH_MM), `rope ${name} ends at ${end}, not ${farthest}, at ${share} of the travel`);
    }
  }
  await driveTo(page, 0);
}

async function pointNow(page, body, [x, y, z]) {
  const place = (await placesOf(page))[body];
  const [cos, sin] = [Math.cos(place.turn_rad), Math.sin(place.turn_rad)];
  return [place.shift_mm[0] + cos * x - sin * z, y, place.shift_mm[2] + sin * x + cos * z];
}

/** Every finding, and the tightest pair: the right marks, at the position, figure and points. */
export async function checkFindings(check, page, report) {
  const data = await dataOf(page);
  const rows = await page.$$("[data-finding]");
  check.that(rows.length === report.clash.findings.length, `${rows.length} rows of findings`);
  for (const [i, finding] of report.clash.findings.entries()) {
    await page.click(`[data-finding="${i}"] button`);
    await settle(page);
    await checkPair(check, page, { told: finding, own: data.findings[i], at: finding.worst_at_mm });
    const label = await page.$$eval("#overlay .gap text", (texts) => texts.map((one) => one.textContent));
    check.that(label.length === 1, `finding ${i + 1}: ${label.length} figures at its gap`);
  }
  if (data.curves.length > 0) {
    const [curve] = data.curves;
    await page.click("#tightest");
    await settle(page);
    const told = { a: curve.a, b: curve.b, clearance_mm: curve.clearance_mm, points_mm: curve.points_mm };
    await checkPair(check, page, { told, own: curve, at: curve.at_mm });
    const label = await page.$eval("#overlay .gap text", (text) => text.textContent);
    check.that(label.startsWith(String(Number(curve.clearance_mm.toFixed(2)))) || curve.clearance_mm < 0.005,
      `the tightest pair's figure reads ${label}`);
  }
  const least = report.clash.least_clearance_mm;
  const named = report.clash.least_clearance_between !== "" && report.clash.findings.length === 0;
  check.that(!named || near(data.curves[0].clearance_mm, least, 0.11), `least of the curves is not ${least}`);
  await page.keyboard.press("Escape");
}

async function checkPair(check, page, { told, own, at }) {
  check.that(near(await page.evaluate(() => leafstackReview.at()), at, 1e-6), `the gate is not at ${at}`);
  const marked = await page.evaluate(() => leafstackReview.marked());
  check.that(marked.map((name) => name.split(".")[0]).join() === [told.a.mark, told.b.mark].join(),
    `${marked} are marked, not ${told.a.mark} and ${told.b.mark}`);
  const data = await dataOf(page);
  for (const [side, instance] of own.instances.entries()) {
    check.that(data.instances[instance].panel === [told.a, told.b][side].panel, "a part of another panel is marked");
    const box = await boxOf(page, instance);
    const point = told.points_mm[side];
    const isOn = point.every((one, i) => one >= box.low[i] - MESH_MM && one <= box.high[i] + MESH_MM);
    check.that(isOn, `${marked[side]} is not where its point is at ${at}: ${point} outside ${box.low} to ${box.high}`);
  }
  const apart = Math.hypot(...told.points_mm[0].map((one, i) => one - told.points_mm[1][i]));
  check.that(told.clearance_mm <= 0 || own.depth_mm > 0 || near(apart, told.clearance_mm, 0.02),
    `points ${apart} apart, clearance ${told.clearance_mm}`);
}
