// glb.mjs DIR: DIR/gate.glb by Khronos' gltf-validator, and against DIR/report.json.
//
// Checks: no error and no warning of the validator; program and input as in the report; tree gate,
// P0 ... Pn, instances; one mesh a mark, whose volume is the report's within the deflection and
// whose material has the report's name; per mark and panel as many nodes as the report counts,
// named MARK.1 ... MARK.n; triangles only; no node scaled or by matrix, only parts placed; and, where DIR has a gate.step, as
// there: origin within 0.01 mm, axes within a hundredth of a degree. Prints one line per problem and per
// kind of the validator's infos, and a summary; exit code 1 on any problem.
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import validator from "gltf-validator";

const DEFLECTION_MM = 0.2; // kGltfLinearDeflectionMm
const FLOAT32_MM = 1e-3; // rounding of coordinates of some metres
const TRIANGLES = 4;
const MM3_PER_M3 = 1e9;
const READ = { 5121: "readUInt8", 5123: "readUInt16LE", 5125: "readUInt32LE", 5126: "readFloatLE" };
const BYTES = { 5121: 1, 5123: 2, 5125: 4, 5126: 4 };

if (process.argv.length !== 3) {
  console.error("usage: glb.mjs DIR");
  process.exit(2);
}
const folder = process.argv[2];
let problems = 0;
const complain = (text) => {
  ++problems;
  console.log(`gate.glb: ${text}`);
};
const expectSame = (what, found, expected) => {
  if (JSON.stringify(found) !== JSON.stringify(expected)) {
    complain(`${what}: ${JSON.stringify(found)}, expected ${JSON.stringify(expected)}`);
  }
};

/** The JSON chunk and the binary chunk. */
function chunksOf(bytes) {
  const length = bytes.readUInt32LE(12);
  return { gltf: JSON.parse(bytes.toString("utf8", 20, 20 + length)), bin: bytes.subarray(28 + length) };
}

function numbersOf({ gltf, bin }, index) {
  const accessor = gltf.accessors[index];
  const start = (gltf.bufferViews[accessor.bufferView].byteOffset ?? 0) + (accessor.byteOffset ?? 0);
  const size = accessor.count * (accessor.type === "VEC3" ? 3 : 1);
  const { componentType } = accessor;
  return Array.from({ length: size }, (_, i) => bin[READ[componentType]](start + BYTES[componentType] * i));
}

function volumeMm3(file, primitive) {
  const at = numbersOf(file, primitive.attributes.POSITION);
  const corners = numbersOf(file, primitive.indices);
  const from = (corner) => [0, 1, 2].map((axis) => at[3 * corner + axis] - at[3 * corners[0] + axis]);
  let sixVolumes = 0;
  for (let i = 0; i < corners.length; i += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => from(corners[i + k]));
    sixVolumes +=
      a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
  }
  return (sixVolumes / 6) * MM3_PER_M3;
}

async function validate(bytes) {
  const { issues } = await validator.validateBytes(new Uint8Array(bytes), { uri: "gate.glb", maxIssues: 0 });
  const infos = new Map();
  for (const { code, message, pointer, severity } of issues.messages) {
    if (severity <= 1) complain(`${code} at ${pointer}: ${message}`);
    else infos.set(code, (infos.get(code) ?? 0) + 1);
  }
  for (const [code, count] of infos) console.log(`info: ${code}, ${count} times`);
  return issues;
}

function checkParts(file, report) {
  const { meshes, materials } = file.gltf;
  expectSame("meshes", meshes.map(({ name }) => name).sort(), report.parts.map(({ mark }) => mark).sort());
  expectSame(
    "materials",
    materials.map(({ name }) => name).sort(),
    [...new Set(report.parts.map(({ material }) => material))].sort(),
  );
  let worst = 0;
  for (const { name, primitives } of meshes) {
    const part = report.parts.find(({ mark }) => mark === name);
    if (part === undefined) continue;
    expectSame(`${name}: primitives`, primitives.length, 1);
    expectSame(`${name}: mode`, primitives[0].mode ?? TRIANGLES, TRIANGLES);
    expectSame(`${name}: material`, materials[primitives[0].material].name, part.material);
    const volume = volumeMm3(file, primitives[0]);
    const bound = part.area_mm2 * (DEFLECTION_MM + FLOAT32_MM);
    worst = Math.max(worst, Math.abs(volume / part.volume_mm3 - 1));
    if (!(volume > 0 && Math.abs(volume - part.volume_mm3) <= bound)) {
      complain(`${name}: volume ${volume} mm3, report ${part.volume_mm3} within ${bound}`);
    }
  }
  return worst;
}

function checkTree({ gltf }, report) {
  const { nodes, meshes } = gltf;
  expectSame("scenes", gltf.scenes.map((scene) => scene.nodes), [[0]]);
  expectSame("root", nodes[0].name, "gate");
  const panels = nodes[0].children.map((child) => nodes[child]);
  const count = 1 + report.layout.panel_count; // and what does not move
  expectSame("panels", panels.map(({ name }) => name), Array.from({ length: count }, (_, i) => `P${i}`));
  const found = new Map(); // "mark, panel" to number
  const names = [];
  panels.forEach(({ children = [] }, panel) => {
    for (const node of children.map((child) => nodes[child])) {
      const mark = meshes[node.mesh].name;
      found.set(`${mark}, panel ${panel}`, (found.get(`${mark}, panel ${panel}`) ?? 0) + 1);
      names.push(node.name);
      if (!node.name.startsWith(`${mark}.`)) complain(`${node.name} shows ${mark}`);
    }
  });
  for (const node of nodes) {
    if ("scale" in node || "matrix" in node) complain(`${node.name}: is not only turned and shifted`);
    const is_placed = "translation" in node || "rotation" in node;
    if (!("mesh" in node) && is_placed) complain(`${node.name}: only parts are placed`);
  }
  const expected = report.parts.flatMap(({ mark, per_panel }) =>
    per_panel.map(({ panel, quantity }) => [`${mark}, panel ${panel}`, quantity]),
  );
  expectSame("parts by panel", [...found].sort(), expected.sort());
  const serials = ({ mark, quantity }) => Array.from({ length: quantity }, (_, i) => `${mark}.${i + 1}`);
  expectSame("instances", names.sort(), report.parts.flatMap(serials).sort());
  expectSame("nodes", nodes.length, 1 + panels.length + names.length);
}

/** Origin, Z and X axis of every occurrence in a STEP file, by name, in its assembly's frame. */
function placesInStep(text) {
  const records = new Map([...text.matchAll(/^(#\d+) = (.*?);\r?$/gms)].map(([, id, record]) => [id, record]));
  const referred = (id) => records.get(id).match(/#\d+/g);
  const triple = (id) => records.get(id).match(/\(([^()]*)\)\)$/)[1].split(",").map(Number);
  const places = new Map();
  for (const record of records.values()) {
    if (!record.startsWith("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION")) continue;
    const [relation, shape] = record.match(/#\d+/g);
    const [usage] = referred(shape);
    const [transformation] = records.get(relation).match(/(?<=WITH_TRANSFORMATION\()#\d+/);
    const [point, z, x] = referred(referred(transformation)[1]);
    const name = records.get(usage).match(/'([^']*)'/)[1];
    places.set(name, { at: triple(point), z: z ? triple(z) : [0, 0, 1], x: x ? triple(x) : [1, 0, 0] });
  }
  return places;
}

/** A direction turned by a unit quaternion [x, y, z, w]. */
function turned([x, y, z, w], v) {
  const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const t = cross([x, y, z], v).map((c) => 2 * c);
  const u = cross([x, y, z], t);
  return v.map((c, i) => c + w * t[i] + u[i]);
}

function checkPlaces({ gltf }, places) {
  const yUp = ([x, y, z]) => [x, z, -y];
  const far = (a, b) => Math.hypot(...a.map((c, i) => c - b[i]));
  for (const { name, mesh, translation = [0, 0, 0], rotation = [0, 0, 0, 1] } of gltf.nodes) {
    if (mesh === undefined) continue;
    const place = places.get(name);
    if (place === undefined) {
      complain(`${name} is not in gate.step`);
      continue;
    }
    const off = far(translation, yUp(place.at).map((c) => c / 1000));
    if (!(off < 1e-5)) complain(`${name} stands ${1000 * off} mm from its place in gate.step`);
    const lean = Math.max(
      far(turned(rotation, yUp([0, 0, 1])), yUp(place.z)),
      far(turned(rotation, yUp([1, 0, 0])), yUp(place.x)),
    );
    if (!(lean < 2e-4)) complain(`${name} is turned otherwise than in gate.step`);
  }
}

const bytes = readFileSync(join(folder, "gate.glb"));
const report = JSON.parse(readFileSync(join(folder, "report.json"), "utf8"));
const issues = await validate(bytes);
const file = chunksOf(bytes);
expectSame("generator", file.gltf.asset.generator, `leafstack ${report.leafstack}`);
expectSame("input", file.gltf.asset.extras?.input_sha256, report.input_sha256);
const worst = checkParts(file, report);
checkTree(file, report);
if (existsSync(join(folder, "gate.step"))) {
  checkPlaces(file, placesInStep(readFileSync(join(folder, "gate.step"), "latin1")));
}
if (report.parts.length === 0) complain("the report names no part");
console.log(
  `glTF: ${file.gltf.meshes.length} meshes, ${file.gltf.nodes.length} nodes, ${bytes.length} bytes, ` +
    `volumes within ${(100 * worst).toPrecision(2)} %; ${issues.numErrors} errors, ` +
    `${issues.numWarnings} warnings, ${issues.numInfos} infos; ${problems} problem(s)`,
);
process.exit(problems === 0 ? 0 : 1);
