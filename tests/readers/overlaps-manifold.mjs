// overlaps-manifold.mjs DIR: the volume two parts share, by manifold-3d, which shares nothing with
// the kernel, against the volume that leafstack's finding states.
//
// DIR holds what overlap_cases wrote. Both volumes must agree within what the meshes' deflection
// allows: its double (both parts are meshed) times the surface of what they share. Prints one line
// per problem and a summary; exit code 1 on any problem.
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import Module from "manifold-3d";

const FLOAT32_MM = 1e-3; // rounding of coordinates of some metres

const wasm = await Module();
wasm.setup();
const { Manifold, Mesh } = wasm;

/** Points equal to the bit are one. */
function solidOf({ points, triangles }) {
  const known = new Map();
  const coordinates = [];
  const index = points.map((point) => {
    const rounded = point.map((value) => Math.fround(value) + 0);
    const key = rounded.join(" ");
    if (!known.has(key)) {
      known.set(key, coordinates.length / 3);
      coordinates.push(...rounded);
    }
    return known.get(key);
  });
  const corners = triangles
    .map((triangle) => triangle.map((corner) => index[corner]))
    .filter(([a, b, c]) => a !== b && b !== c && c !== a);
  return new Manifold(
    new Mesh({
      numProp: 3,
      vertProperties: new Float32Array(coordinates),
      triVerts: new Uint32Array(corners.flat()),
    }),
  );
}

const folder = process.argv[2];
let problems = 0;
let worst = 0;
const cases = readdirSync(folder).filter((name) => name.endsWith(".json")).sort();
for (const name of cases) {
  const file = JSON.parse(readFileSync(join(folder, name), "utf8"));
  const solids = [solidOf(file.a), solidOf(file.b)];
  const bad = solids.find((solid) => solid.status() !== "NoError");
  if (bad !== undefined) {
    ++problems;
    console.log(`${name}: ${file.id}: a part is no manifold: ${bad.status()}`);
    continue;
  }
  const shared = Manifold.intersection(solids[0], solids[1]);
  const volume = shared.volume();
  const bound = shared.surfaceArea() * (2 * file.deflection_mm + FLOAT32_MM);
  worst = Math.max(worst, Math.abs(volume - file.volume_mm3) / file.volume_mm3);
  if (!(volume > 0) || !(Math.abs(volume - file.volume_mm3) <= bound)) {
    ++problems;
    console.log(`${name}: ${file.id}: ${volume} mm3, report ${file.volume_mm3} within ${bound}`);
  }
}
if (cases.length === 0) {
  ++problems;
  console.log(`${folder}: no cases`);
}
console.log(
  `${cases.length} overlaps by manifold, volumes within ${(100 * worst).toPrecision(2)} % of the kernel's, ` +
    `${problems} ${problems === 1 ? "problem" : "problems"}`,
);
process.exit(problems === 0 ? 0 : 1);
