// How the wind moves the gate: the lines of the frame that was worked out, moved so many times as far.
import { BufferAttribute, BufferGeometry, Group, LineBasicMaterial, LineSegments, Mesh, Vector3 } from "three";
import { faces } from "./faces.js";
import { toScene } from "./motion.js";

const FRAME = "#c8641b", INFILL = "#c98a4e";
/** Half of how thick a frame's line is drawn. */
const HALF_MM = 11;
const PER_END = 6;

/** Where the ends of a shape's lines are, movements drawn `times` as large: [x, y, z] two by two, scene. */
export function endsOf(figures, times) {
  const ends = [];
  for (let i = 0; i < figures.length; i += PER_END) {
    ends.push(toScene([0, 1, 2].map((axis) => figures[i + axis] + times * figures[i + 3 + axis])));
  }
  return ends;
}

/** Each line as a bar of four sides. */
function bars(ends) {
  const positions = [], normals = [], indices = [];
  for (let i = 0; i < ends.length; i += 2) {
    const [from, to] = [new Vector3(...ends[i]), new Vector3(...ends[i + 1])];
    const way = to.clone().sub(from).normalize();
    const side = new Vector3(0, 0, 1).cross(way);
    if (side.length() < 0.1) side.set(1, 0, 0);
    side.normalize();
    const other = way.clone().cross(side);
    for (const [out, along] of [[side, other], [other, side.clone().negate()], [side.clone().negate(), other.clone().negate()], [other.clone().negate(), side]]) {
      const first = positions.length / 3;
      for (const [end, sign] of [[from, -1], [to, -1], [to, 1], [from, 1]]) {
        const at = end.clone().addScaledVector(out, HALF_MM / 1000).addScaledVector(along, (sign * HALF_MM) / 1000);
        positions.push(...at.toArray());
        normals.push(...out.toArray());
      }
      indices.push(first, first + 2, first + 1, first, first + 3, first + 2);
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(positions), 3));
  geometry.setAttribute("normal", new BufferAttribute(new Float32Array(normals), 3));
  geometry.setIndex(indices);
  return geometry;
}

export class Bent {
  constructor() {
    this.group = new Group();
    this.frame = new Mesh(new BufferGeometry(), faces({ plain: FRAME }));
    this.infill = new LineSegments(new BufferGeometry(), new LineBasicMaterial({ color: INFILL }));
    this.group.add(this.frame, this.infill);
    this.frame.frustumCulled = this.infill.frustumCulled = false;
  }

  /** One of the page's shapes, or nothing. */
  show(shape) {
    this.group.visible = Boolean(shape);
    if (!shape || shape === this.shape) return;
    this.shape = shape;
    this.frame.geometry.dispose();
    this.frame.geometry = bars(endsOf(shape.frame, shape.times));
    this.infill.geometry.dispose();
    this.infill.geometry = new BufferGeometry();
    this.infill.geometry.setAttribute("position",
      new BufferAttribute(new Float32Array(endsOf(shape.infill, shape.times).flat()), 3));
  }
}
