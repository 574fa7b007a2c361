// Reads every DXF profile of an output folder with dxf-parser: closed loops in layer CUT only.
// usage: node dxf.mjs DIR
import fs from 'node:fs';
import path from 'node:path';
import DxfParser from 'dxf-parser';

const folder = path.join(process.argv[2], 'profiles');
const files = fs.readdirSync(folder, { recursive: true })
  .filter((name) => name.endsWith('.dxf'))
  .sort();
if (files.length === 0) throw new Error('no profile at all');
let loops = 0;
for (const name of files) {
  const drawing = new DxfParser().parseSync(fs.readFileSync(path.join(folder, name), 'utf8'));
  if (drawing.header.$INSUNITS !== 4) throw new Error(`${name}: not in mm`);
  if (drawing.entities.length === 0) throw new Error(`${name}: nothing in it`);
  for (const entity of drawing.entities) {
    if (entity.layer !== 'CUT') throw new Error(`${name}: layer ${entity.layer}`);
    const closed = entity.type === 'CIRCLE' || (entity.type === 'LWPOLYLINE' && entity.shape);
    if (!closed) throw new Error(`${name}: open ${entity.type}`);
    loops += 1;
  }
}
console.log(`${files.length} profiles, ${loops} closed loops read by dxf-parser`);
