// Where every body is at a position of the drive, read from the page's rows by straight lines.

/** Model frame (X, Y, Z up, mm) to the scene's (X, Y up, Z, m): as in gate.glb. */
export const toScene = ([x, y, z]) => [x / 1000, z / 1000, -y / 1000];
export const toModel = ([x, y, z]) => [x * 1000, -z * 1000, y * 1000];

/** Shift of the body's pivot (mm) and its turn (rad, +X towards +Z) at a position of the drive. */
export function poseAt(body, at) {
  const rows = body.rows;
  let low = 0;
  let high = rows.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (rows[middle][0] <= at) low = middle;
    else high = middle;
  }
  const [from, to] = [rows[low], rows[high]];
  const share = Math.min(1, Math.max(0, (at - from[0]) / (to[0] - from[0])));
  const between = (i) => from[i] + share * (to[i] - from[i]);
  return { x: between(1), z: between(2), turn: between(3) };
}

/** A point of a body, given where it is at closed (mm), at a position of the drive. */
export function carried(body, at, [x, y, z]) {
  const pose = poseAt(body, at);
  const [px, pz] = body.pivot_mm;
  const cos = Math.cos(pose.turn);
  const sin = Math.sin(pose.turn);
  return [
    px + pose.x + cos * (x - px) - sin * (z - pz),
    y,
    pz + pose.z + sin * (x - px) + cos * (z - pz),
  ];
}

/** The other way: where at closed the point was that is at `point` now. */
export function atClosed(body, at, [x, y, z]) {
  const pose = poseAt(body, at);
  const [px, pz] = body.pivot_mm;
  const cos = Math.cos(pose.turn);
  const sin = Math.sin(pose.turn);
  const [u, w] = [x - px - pose.x, z - pz - pose.z];
  return [px + cos * u + sin * w, y, pz - sin * u + cos * w];
}
