// Reads gate.ifc of an output folder by a general reader of the format (web-ifc), and compares it with
// report.json: every attribute against the schema IFC4 as that reader declares it, the tree, names,
// counts, the volume of every part, worked here from the file's own profiles and triangles, and once
// more from the triangles that the reader makes.
// usage: node ifc.mjs DIR [--ids]
import fs from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import * as WebIFC from 'web-ifc';

const kExactShare = 1e-6;    // profiles drawn out
const kRoundShare = 0.02;    // triangles on round faces, at 0.1 mm
const folder = process.argv[2];
const problems = [];
const must = (holds, text) => { if (!holds) problems.push(text); };

// ---------------------------------------------------------------- the schema, from its declarations
const declared = fs.readFileSync(
    path.join(path.dirname(createRequire(import.meta.url).resolve('web-ifc')), 'ifc-schema.d.ts'), 'utf8');
const scope = declared.slice(declared.indexOf('export declare namespace IFC4 {'));
const body = scope.slice(0, scope.indexOf('\n}\n'));
const classes = new Map(), selects = new Map();
for (const m of body.matchAll(/class (\w+)(?: extends (\w+))? \{([^}]*)\}/g)) {
  const made = /constructor\((.*)\);/.exec(m[3]);
  const attributes = !made ? [] : made[1].split(/, (?=\w+: )/).filter(Boolean).map((one) => {
    const [, name, type] = /^(\w+): (.*)$/.exec(one);
    return { name, type, optional: / \| null$/.test(type), list: /\[\]/.test(type),
      names: [...type.matchAll(/Handle<(\w+)>/g)].map((h) => h[1]) };
  });
  classes.set(m[1], { above: m[2], attributes, is_entity: /type: number/.test(m[3]) && !/Handle$/.test(m[2] ?? '') });
}
for (const m of body.matchAll(/type (\w+) = ([^;]+);/g)) {
  selects.set(m[1], [...m[2].matchAll(/(?:Handle<)?(\w+)>?/g)].map((x) => x[1]));
}
const byUpper = new Map([...classes.keys()].map((name) => [name.toUpperCase(), name]));
function isA(name, wanted, seen = new Set()) {
  if (seen.has(wanted)) return false;
  seen.add(wanted);
  if (selects.has(wanted) && selects.get(wanted).some((one) => isA(name, one, new Set(seen)))) return true;
  for (let at = name; at; at = classes.get(at)?.above) if (at === wanted) return true;
  return false;
}

// ---------------------------------------------------------------- the file
const api = new WebIFC.IfcAPI();
await api.Init();
api.SetLogLevel(WebIFC.LogLevel.LOG_LEVEL_OFF);
const model = api.OpenModel(fs.readFileSync(path.join(folder, 'gate.ifc')));
must(model >= 0, 'the reader does not open the file');
must(api.GetModelSchema(model) === 'IFC4', `schema ${api.GetModelSchema(model)}`);
const ids = [...{ [Symbol.iterator]: function* () {
  const all = api.GetAllLines(model);
  for (let i = 0; i < all.size(); ++i) yield all.get(i);
} }];
const classOf = (id) => byUpper.get(api.GetNameFromTypeCode(api.GetLineType(model, id)).toUpperCase());
const kReference = 5, kNull = 6;
const lines = new Map();
for (const id of ids) {
  const name = classOf(id);
  must(name, `#${id}: no entity of IFC4`);
  if (!name) continue;
  const { attributes } = classes.get(name);
  const given = api.GetRawLineData(model, id).arguments;
  must(given.length === attributes.length, `#${id} ${name}: ${given.length} attributes, not ${attributes.length}`);
  attributes.forEach((attribute, i) => check(id, name, attribute, given[i]));
  lines.set(id, api.GetLine(model, id));
}
function check(id, name, attribute, value) {
  const where = `#${id} ${name}.${attribute.name}`;
  if (value === null || value === undefined || value.type === kNull) {
    // Attributes that a subtype works out are written as *: the declarations have them as null too.
    must(attribute.optional || /SubContext|SIUnit/.test(name), `${where} is missing`);
    return;
  }
  const items = Array.isArray(value) ? value : [value];
  if (attribute.list) must(items.length > 0, `${where} is empty`);
  for (const item of items) {
    if (item?.type !== kReference || attribute.names.length === 0) continue;
    const target = classOf(item.value);
    must(target && attribute.names.some((one) => isA(target, one)), `${where}: #${item.value} is ${target}`);
  }
}
const of = (name) => [...lines].filter(([id]) => isA(classOf(id), name)).map(([id, line]) => ({ id, line }));
const at = (reference) => lines.get(reference.value);

// ---------------------------------------------------------------- identifiers and tree
const rooted = of('IfcRoot');
const guids = rooted.map(({ line }) => line.GlobalId.value);
must(new Set(guids).size === guids.length, 'identifiers stand twice');
must(guids.every((guid) => /^[0-3][0-9A-Za-z_$]{21}$/.test(guid)), 'an identifier is malformed');
const report = JSON.parse(fs.readFileSync(path.join(folder, 'report.json'), 'utf8'));
const children = new Map();
for (const { line } of of('IfcRelAggregates')) {
  children.set(line.RelatingObject.value, line.RelatedObjects.map((one) => one.value));
}
const [project] = of('IfcProject');
const [site] = of('IfcSite');
must(children.get(project.id)?.includes(site.id), 'the site is not the project\'s');
const [contained] = of('IfcRelContainedInSpatialStructure');
must(contained.line.RelatingStructure.value === site.id, 'the gate does not stand on the site');
const [gate, ...spaces] = contained.line.RelatedElements.map((one) => one.value);
const panels = children.get(gate) ?? [];
must(panels.length === report.layout.panels.length + 1, `${panels.length} panel assemblies`);
must(spaces.length === report.layout.panels.length, `${spaces.length} swept spaces`);
const occurrences = panels.flatMap((panel) => children.get(panel) ?? []);
const counted = new Map();
for (const id of occurrences) {
  const tag = lines.get(id).Tag.value;
  counted.set(tag, (counted.get(tag) ?? 0) + 1);
}
const partsByMark = new Map(report.parts.map((part) => [part.mark, part]));
must(counted.size === partsByMark.size, `${counted.size} marks, ${partsByMark.size} in the report`);
for (const [mark, part] of partsByMark) {
  must(counted.get(mark) === part.quantity, `${mark}: ${counted.get(mark)} of ${part.quantity}`);
}

// ---------------------------------------------------------------- shapes
function loopArea(points, segments) {
  const at2 = (index) => points[index - 1].map((x) => x.value ?? x);
  let area = 0;
  for (const segment of segments) {
    const run = (segment.value ?? segment).map((x) => x.value ?? x);
    const [ax, ay] = at2(run[0]), [bx, by] = at2(run.at(-1));
    area += (ax * by - bx * ay) / 2;
    if (run.length === 3) {
      // The segment of a circle through three points: radius from the sides, angle from the sagitta.
      const [mx, my] = at2(run[1]);
      const chord = Math.hypot(bx - ax, by - ay);
      const sagitta = ((mx - ax) * (by - ay) - (my - ay) * (bx - ax)) / chord;  // right: anticlockwise
      const half = 2 * Math.atan(2 * Math.abs(sagitta) / chord);
      const radius = chord / (2 * Math.sin(half));
      area += Math.sign(sagitta) * (radius * radius * (half - Math.sin(half) * Math.cos(half)));
    }
  }
  return Math.abs(area);
}
function curveArea(curve) {
  if (classOf(curve.expressID) === 'IfcCircle') return Math.PI * curve.Radius.value ** 2;
  return loopArea(at(curve.Points).CoordList, curve.Segments);
}
function profileArea(profile) {
  const name = classOf(profile.expressID);
  if (name === 'IfcRectangleHollowProfileDef') {
    const [x, y, t] = [profile.XDim.value, profile.YDim.value, profile.WallThickness.value];
    const missing = (r) => (4 - Math.PI) * r * r;
    return x * y - missing(profile.OuterFilletRadius.value)
      - ((x - 2 * t) * (y - 2 * t) - missing(profile.InnerFilletRadius.value));
  }
  const holes = profile.InnerCurves ?? [];
  return curveArea(at(profile.OuterCurve)) - holes.reduce((sum, hole) => sum + curveArea(at(hole)), 0);
}
function meshVolume(points, triangles, what) {
  const sides = new Set();
  let volume = 0;
  for (const triangle of triangles) {
    const [a, b, c] = triangle.map((index) => points[index - 1]);
    volume += (a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
      + a[2] * (b[0] * c[1] - b[1] * c[0])) / 6;
    triangle.forEach((from, i) => {
      const key = `${from} ${triangle[(i + 1) % 3]}`;
      must(!sides.has(key), `${what}: an edge is used twice alike`);
      sides.add(key);
    });
  }
  for (const side of sides) must(sides.has(side.split(' ').reverse().join(' ')), `${what}: open at an edge`);
  return volume;
}
const plain = (list) => list.map((row) => row.map((x) => x.value ?? x));
let drawn = 0, meshed = 0, worst = 0;
const volumes = new Map();  // by mark
for (const { line } of of('IfcTypeProduct')) {
  const mark = line.Tag.value;
  const part = partsByMark.get(mark);
  must(part, `${mark} is not in the report`);
  if (!part) continue;
  const [item] = at(at(line.RepresentationMaps[0]).MappedRepresentation).Items;
  const shape = at(item);
  const exact = classOf(item.value) === 'IfcExtrudedAreaSolid';
  const volume = exact ? profileArea(at(shape.SweptArea)) * shape.Depth.value
    : meshVolume(plain(at(shape.Coordinates).CoordList), plain(shape.CoordIndex), mark);
  exact ? drawn += 1 : meshed += 1;
  volumes.set(mark, volume);
  const off = Math.abs(volume - part.volume_mm3) / part.volume_mm3;
  if (exact) worst = Math.max(worst, off);
  must(off < (exact ? kExactShare : kRoundShare), `${mark}: volume off by ${off}`);
  const said = line.HasPropertySets.map(at).find((set) => set.Quantities)
    .Quantities.map(at).find((one) => one.Name.value === 'NetVolume').VolumeValue.value;
  must(Math.abs(said * 1e9 - part.volume_mm3) < 1e-6 * part.volume_mm3, `${mark}: says ${said} m3`);
}
// What the reader itself makes of them, circles in twelve sides: placed, in metres.
let shown = 0;
api.StreamAllMeshes(model, (mesh) => {
  const line = lines.get(mesh.expressID);
  const mark = line.Tag?.value;
  if (!mark) return;
  shown += 1;
  let volume = 0;
  for (let i = 0; i < mesh.geometries.size(); ++i) {
    const placed = mesh.geometries.get(i);
    const geometry = api.GetGeometry(model, placed.geometryExpressID);
    const v = api.GetVertexArray(geometry.GetVertexData(), geometry.GetVertexDataSize());
    const index = api.GetIndexArray(geometry.GetIndexData(), geometry.GetIndexDataSize());
    const scale = Math.hypot(...placed.flatTransformation.slice(0, 3));
    for (let k = 0; k < index.length; k += 3) {
      const [a, b, c] = [0, 1, 2].map((j) => [0, 1, 2].map((x) => v[6 * index[k + j] + x] * scale * 1000));
      volume += (a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
        + a[2] * (b[0] * c[1] - b[1] * c[0])) / 6;
    }
    geometry.delete();
  }
  const off = Math.abs(Math.abs(volume) - volumes.get(mark)) / volumes.get(mark);
  must(off < 0.06, `${line.Name.value}: the reader shows a volume off by ${(100 * off).toFixed(1)} %`);
});
must(shown === occurrences.length, `${shown} of ${occurrences.length} occurrences are shown`);

if (process.argv.includes('--ids')) {
  console.log(JSON.stringify(Object.fromEntries(
      [gate, ...panels, ...occurrences, ...spaces].map((id) => [lines.get(id).Name.value, lines.get(id).GlobalId.value]))));
} else {
  console.log(`${ids.length} entities, ${counted.size} types, ${occurrences.length} occurrences; ${drawn} drawn out `
    + `(volumes to ${worst.toExponential(1)}), ${meshed} of triangles`);
}
for (const problem of problems.slice(0, 30)) console.error(problem);
process.exit(problems.length > 0 ? 1 : 0);
