// Reads the DXF of every drawing sheet with dxf-parser: dimensions with their blocks, text, layers.
// usage: node drawing.mjs DIR
import fs from 'node:fs';
import path from 'node:path';
import DxfParser from 'dxf-parser';

const folder = path.join(process.argv[2], 'drawings');
const files = fs.readdirSync(folder).filter((name) => name.endsWith('.dxf')).sort();
if (files.length === 0) throw new Error('no sheet at all');
let dimensions = 0;
for (const name of files) {
  const drawing = new DxfParser().parseSync(fs.readFileSync(path.join(folder, name), 'utf8'));
  if (drawing.header.$INSUNITS !== 4) throw new Error(`${name}: not in mm`);
  if (drawing.entities.length === 0) throw new Error(`${name}: nothing in it`);
  for (const entity of drawing.entities) {
    if (!(entity.layer in drawing.tables.layer.layers)) {
      throw new Error(`${name}: layer ${entity.layer} is not declared`);
    }
    if (entity.type === 'TEXT' && !(entity.text && entity.textHeight > 0)) {
      throw new Error(`${name}: a text without words or height`);
    }
    if (entity.type !== 'DIMENSION') continue;
    const block = drawing.blocks[entity.block];
    const texts = (block?.entities ?? []).filter((part) => part.type === 'TEXT');
    if (texts.length !== 1) throw new Error(`${name}: block ${entity.block} has no number`);
    if (!(entity.actualMeasurement >= 0)) throw new Error(`${name}: measures nothing`);
    dimensions += 1;
  }
}
console.log(`${files.length} sheets, ${dimensions} dimensions read by dxf-parser`);
