// Reads part STEP files of an output folder with a newer release of the modelling kernel, compiled to
// WebAssembly, and compares one valid solid, volume, area, faces and centre of gravity with
// report.json, and the product's name, read from the text, with mark and name. The check of every
// edge against its surfaces is the exact one, which measures all along it.
// usage: node step-occt.mjs DIR
import fs from 'node:fs';
import path from 'node:path';
import v8 from 'node:v8';
import init from 'replicad-opencascadejs';

// The kernels integrate curved faces alike to about 1e-9; a shop feels nothing below 1e-6.
const kSameShare = 1e-6;

// Compiled for good, WebAssembly of 20 MB takes several times as long as all that it is to do here.
v8.setFlagsFromString('--liftoff-only');

const folder = process.argv[2];
const report = JSON.parse(fs.readFileSync(path.join(folder, 'report.json'), 'utf8'));
const oc = await init({ print: () => {}, printErr: () => {} });

function solidsOf(text) {
  oc.FS.writeFile('/part.step', text);
  const reader = new oc.STEPControl_Reader();
  const read = reader.ReadFile('/part.step');
  if (read !== oc.IFSelect_ReturnStatus.IFSelect_RetDone) throw new Error('cannot be read');
  reader.TransferRoots(new oc.Message_ProgressRange());
  const shape = reader.OneShape();
  oc.FS.unlink('/part.step');
  return { shape, solids: count(shape, oc.TopAbs_ShapeEnum.TopAbs_SOLID) };
}

function count(shape, kind) {
  const found = new oc.TopExp_Explorer(shape, kind);
  let number = 0;
  for (; found.More(); found.Next()) number += 1;
  return number;
}

function near(value, wanted, what) {
  if (Math.abs(value - wanted) > kSameShare * Math.max(1, Math.abs(wanted))) {
    throw new Error(`${what} ${value}, report says ${wanted}`);
  }
}

function check(part) {
  const file = part.files.find((name) => name.endsWith('.step'));
  const text = fs.readFileSync(path.join(folder, file), 'utf8');
  const product = /PRODUCT\('([^']*)'/.exec(text);
  if (!product || !product[1].startsWith(`${part.mark} ${part.name}`)) throw new Error(`product ${product && product[1]}`);
  const { shape, solids } = solidsOf(text);
  if (solids !== 1) throw new Error(`${solids} solids`);
  if (!new oc.BRepCheck_Analyzer(shape, true, false, true).IsValid()) throw new Error('not valid');
  const faces = count(shape, oc.TopAbs_ShapeEnum.TopAbs_FACE);
  if (faces !== part.face_count) throw new Error(`${faces} faces, report says ${part.face_count}`);
  const volume = new oc.GProp_GProps();
  oc.BRepGProp.VolumeProperties(shape, volume, false, false, false);
  near(volume.Mass(), part.volume_mm3, 'volume');
  const centre = volume.CentreOfMass();
  [centre.X(), centre.Y(), centre.Z()].forEach((at, i) => near(at, part.centre_mm[i], 'centre'));
  const area = new oc.GProp_GProps();
  oc.BRepGProp.SurfaceProperties(shape, area, false, false);
  near(area.Mass(), part.area_mm2, 'area');
}

let failed = 0;
for (const part of report.parts) {
  try {
    check(part);
  } catch (error) {
    failed += 1;
    console.log(`${part.mark}: ${error.message ?? error}`);
  }
}
console.log(`${report.parts.length - failed} of ${report.parts.length} parts read by the newer kernel`);
process.exit(failed ? 1 : 0);
