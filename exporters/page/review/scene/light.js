// A part's triangles with little things left out, for pictures that have to be quick: corners within
// a cell of a grid become one. Uses the part's own corners, so that only the list of triangles differs.

/** Less than two pixels where a whole gate is seen. */
const CELL_M = 0.009;

/** Triangles by their corners' numbers; what shrinks to a line or repeats another is left out. */
export function lightIndices({ positions, normals, indices }) {
  const places = new Map(); // cell to a number
  const corners = new Map(); // cell and direction to the corner that stands for it
  const placeOf = new Int32Array(positions.length / 3);
  const cornerOf = new Int32Array(positions.length / 3);
  for (let i = 0; i < placeOf.length; ++i) {
    const cell = [0, 1, 2].map((axis) => Math.round(positions[3 * i + axis] / CELL_M)).join();
    const facing = [0, 1, 2].map((axis) => Math.round(1.2 * normals[3 * i + axis])).join();
    if (!places.has(cell)) places.set(cell, places.size);
    placeOf[i] = places.get(cell);
    const key = `${cell};${facing}`;
    if (!corners.has(key)) corners.set(key, i);
    cornerOf[i] = corners.get(key);
  }
  const out = [];
  const known = new Set();
  for (let i = 0; i < indices.length; i += 3) {
    const triangle = [indices[i], indices[i + 1], indices[i + 2]];
    const [a, b, c] = triangle.map((one) => placeOf[one]);
    if (a === b || b === c || c === a) continue;
    const key = [a, b, c].indexOf(Math.min(a, b, c));
    const turned = [...[a, b, c].slice(key), ...[a, b, c].slice(0, key)].join();
    if (known.has(turned)) continue;
    known.add(turned);
    out.push(...triangle.map((one) => cornerOf[one]));
  }
  return Uint32Array.from(out);
}
