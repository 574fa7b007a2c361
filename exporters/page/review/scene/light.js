// A part's triangles with little things left out, for pictures that have to be quick: corners within
// a cell of a grid become one. Uses the part's own corners, so that only the list of triangles differs.

/** Less than two pixels where a whole gate is seen. */
const CELL_M = 0.009;
/** Of a part along one axis; three of them are one whole number. */
const CELLS = 65536;

/** Triangles by their corners' numbers; what shrinks to a line or repeats another is left out. */
export function lightIndices({ positions, normals, indices }) {
  const places = new Map(); // cell to a number
  const corners = new Map(); // cell and direction to the corner that stands for it
  const placeOf = new Int32Array(positions.length / 3);
  const cornerOf = new Int32Array(positions.length / 3);
  for (let i = 0; i < placeOf.length; ++i) {
    let cell = 0, facing = 0;
    for (let axis = 0; axis < 3; ++axis) {
      cell = CELLS * cell + Math.round(positions[3 * i + axis] / CELL_M) + CELLS / 2;
      facing = 3 * facing + Math.round(1.2 * normals[3 * i + axis]) + 1;
    }
    let place = places.get(cell);
    if (place === undefined) places.set(cell, place = places.size);
    placeOf[i] = place;
    const key = 27 * place + facing;
    let corner = corners.get(key);
    if (corner === undefined) corners.set(key, corner = i);
    cornerOf[i] = corner;
  }
  const out = [];
  const known = new Set();
  for (let i = 0; i < indices.length; i += 3) {
    let [p, q, r] = [indices[i], indices[i + 1], indices[i + 2]];
    const [a, b, c] = [placeOf[p], placeOf[q], placeOf[r]];
    if (a === b || b === c || c === a) continue;
    if (b < a && b < c) [p, q, r] = [q, r, p];
    else if (c < a && c < b) [p, q, r] = [r, p, q];
    const turned = (placeOf[p] * places.size + placeOf[q]) * places.size + placeOf[r];
    if (known.has(turned)) continue;
    known.add(turned);
    out.push(cornerOf[p], cornerOf[q], cornerOf[r]);
  }
  return Uint32Array.from(out);
}
