// stl-manifold.mjs DIR: every STL file under DIR/parts as a solid of manifold-3d, which did not write it.
//
// Checks: one file per mark of report.json; after welding equal corners the mesh is a manifold
// (status NoError) and faces outward (volume positive); the volume is the report's within what the
// stated deflection allows: no more than the deflection times the surface, plus the rounding of
// STL's 32-bit coordinates; where DIR has the part's STEP file, every vertex of that is a corner here.
// Prints one line per problem and a summary; exit code 1 on any problem.
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import Module from "manifold-3d";

const FALLBACK_DEFLECTION_MM = 0.2;
const FLOAT32_ROUNDING = 2 ** -24;
const SAME_POINT_MM = 1e-3;
const HEADER_BYTES = 84;
const FACET_BYTES = 50;

const wasm = await Module();
wasm.setup();
const { Manifold, Mesh } = wasm;

/** Corners welded where all three coordinates are equal to the bit. */
function readStl(path) {
  const bytes = readFileSync(path);
  if (bytes.length < HEADER_BYTES) throw new Error("is no binary STL");
  const facets = bytes.readUInt32LE(80);
  if (bytes.length !== HEADER_BYTES + FACET_BYTES * facets) {
    throw new Error(`announces ${facets} facets, but has ${bytes.length} bytes`);
  }
  const known = new Map();
  const coordinates = [];
  const corners = new Uint32Array(3 * facets);
  let farthest = 0;
  for (let corner = 0; corner < 3 * facets; ++corner) {
    const at = HEADER_BYTES + FACET_BYTES * Math.floor(corner / 3) + 12 + 12 * (corner % 3);
    // Adding 0 makes -0 and 0 one key.
    const point = [0, 4, 8].map((offset) => bytes.readFloatLE(at + offset) + 0);
    const key = point.join(" ");
    if (!known.has(key)) {
      known.set(key, coordinates.length / 3);
      coordinates.push(...point);
      farthest = Math.max(farthest, ...point.map(Math.abs));
    }
    corners[corner] = known.get(key);
  }
  return { coordinates: new Float32Array(coordinates), corners, farthest };
}

/** Vertices of the solid in a STEP file. */
function verticesInStep(text) {
  const points = new Map(
    [...text.matchAll(/#(\d+)\s*=\s*CARTESIAN_POINT\s*\(\s*'[^']*'\s*,\s*\(([^)]*)\)\s*\)\s*;/g)].map(([, id, at]) => [
      id,
      at.split(",").map(Number),
    ]),
  );
  return [...text.matchAll(/=\s*VERTEX_POINT\s*\(\s*'[^']*'\s*,\s*#(\d+)\s*\)/g)].map(([, id]) => points.get(id));
}

/** The vertex farthest from any corner; a few hundred of each at most. */
function farthestVertex(vertices, coordinates) {
  let worst = { off: 0, at: [] };
  for (const at of vertices) {
    let nearest = Infinity;
    for (let i = 0; i < coordinates.length; i += 3) {
      nearest = Math.min(
        nearest,
        Math.hypot(coordinates[i] - at[0], coordinates[i + 1] - at[1], coordinates[i + 2] - at[2]),
      );
    }
    if (!(nearest <= worst.off)) worst = { off: nearest, at };
  }
  return worst;
}

function checkPart(folder, part, report) {
  const file = (ending) => join(folder, part.files.find((name) => name.endsWith(ending)) ?? "");
  const path = file(".stl");
  if (!path.endsWith(".stl") || !existsSync(path)) return { problems: ["is missing"] };
  const stl = readStl(path);
  const solid = new Manifold(
    new Mesh({ numProp: 3, vertProperties: stl.coordinates, triVerts: stl.corners }),
  );
  const problems = [];
  if (solid.status() !== "NoError") return { problems: [`is no manifold: ${solid.status()}`] };
  const volume = solid.volume();
  const pieces = solid.decompose();
  if (pieces.length !== 1) problems.push(`falls into ${pieces.length} pieces`);
  if (!(volume > 0)) problems.push(`faces inward: volume ${volume} mm3`);
  const deflection =
    part.stl?.deflection_mm ?? report.outputs?.stl?.linear_deflection_mm ?? FALLBACK_DEFLECTION_MM;
  const bound = part.area_mm2 * (deflection + stl.farthest * FLOAT32_ROUNDING);
  if (!(Math.abs(volume - part.volume_mm3) <= bound)) {
    problems.push(`volume ${volume} mm3, report ${part.volume_mm3} within ${bound}`);
  }
  const step = file(".step");
  if (step.endsWith(".step") && existsSync(step)) {
    const vertices = verticesInStep(readFileSync(step, "latin1"));
    if (vertices.length === 0) problems.push("its STEP file has no vertex");
    const { off, at } = farthestVertex(vertices, stl.coordinates);
    if (!(off <= SAME_POINT_MM + stl.farthest * FLOAT32_ROUNDING)) {
      problems.push(`no corner within ${off} mm of the STEP file's vertex ${at}`);
    }
  }
  return { problems, genus: pieces.length === 1 ? pieces[0].genus() : undefined };
}

const folder = process.argv[2];
if (process.argv.length !== 3) {
  console.error("usage: stl-manifold.mjs DIR");
  process.exit(2);
}
const report = JSON.parse(readFileSync(join(folder, "report.json"), "utf8"));
const genera = new Map();
let problems = 0;
const complain = (mark, text) => {
  ++problems;
  console.log(`STL of ${mark}: ${text}`);
};
for (const part of report.parts) {
  try {
    const found = checkPart(folder, part, report);
    for (const text of found.problems) complain(part.mark, text);
    if (found.genus !== undefined) genera.set(found.genus, (genera.get(found.genus) ?? 0) + 1);
  } catch (error) {
    complain(part.mark, error.message);
  }
}
const files = new Set(report.parts.flatMap((part) => part.files));
for (const name of readdirSync(join(folder, "parts"), { recursive: true })) {
  if (name.endsWith(".stl") && !files.has(`parts/${name}`)) complain(name, "is not in the report");
}
if (report.parts.length === 0) complain("", "the report names no part");
const counts = [...genera].sort((a, b) => a[0] - b[0]).map(([g, n]) => `${n} of genus ${g}`);
console.log(`manifold: ${report.parts.length} parts, ${counts.join(", ")}; ${problems} problem(s)`);
process.exit(problems === 0 ? 0 : 1);
