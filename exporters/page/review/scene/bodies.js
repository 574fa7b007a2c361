// The gate as few large meshes: one a body, one a rope, each knowing which of its triangles belong
// to which instance, so that hiding is a shorter list and a click finds its part.
import {
  BufferAttribute, BufferGeometry, EdgesGeometry, Group, LineSegments, Matrix4, Mesh, Quaternion, Vector3,
} from "three";
import { lightIndices } from "./light.js";
import { carried, poseAt, toModel, toScene } from "./motion.js";

const EDGE_DEG = 32;

/** Meshes that are kept by their keys from one gate to the next. */
const MOST_KEPT = 600;

/** A part's triangles and edges as three.js has them; of a key that is `kept`, those. */
function partGeometry(mesh, key, kept) {
  const known = key && kept?.get(key);
  if (known) {
    kept.delete(key);
    kept.set(key, known); // used last
    return known;
  }
  if (!key || !kept) return new PartGeometry(mesh);
  // Else the whole file that they are a view of would be kept.
  const made = new PartGeometry({ positions: mesh.positions.slice(), normals: mesh.normals.slice(), indices: mesh.indices.slice() });
  kept.set(key, made);
  if (kept.size > MOST_KEPT) kept.delete(kept.keys().next().value);
  return made;
}

class PartGeometry {
  constructor({ positions, normals, indices }) {
    Object.assign(this, { positions, normals, indices });
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(positions, 3));
    geometry.setAttribute("normal", new BufferAttribute(normals, 3));
    geometry.setIndex(new BufferAttribute(indices, 1));
    this.edges = new EdgesGeometry(geometry, EDGE_DEG).getAttribute("position").array;
  }

  /** The few triangles of a light picture: worked out once somebody wants one. */
  get light() {
    this.few ??= lightIndices(this);
    return this.few;
  }
}

/** `from`, carried by a matrix's elements to `to` from `offset` on; directions are only turned. */
function carry(from, to, offset, m, isDirection) {
  const [dx, dy, dz] = isDirection ? [0, 0, 0] : [m[12], m[13], m[14]];
  for (let i = 0; i < from.length; i += 3) {
    const x = from[i], y = from[i + 1], z = from[i + 2];
    to[offset + i] = m[0] * x + m[4] * y + m[8] * z + dx;
    to[offset + i + 1] = m[1] * x + m[5] * y + m[9] * z + dy;
    to[offset + i + 2] = m[2] * x + m[6] * y + m[10] * z + dz;
  }
}

/** Instances placed as at closed, end to end in one mesh; painted by Piece.paint. */
class Merged {
  constructor(parts, members) {
    const sum = (count) => members.reduce((total, one) => total + count(parts[one.part]), 0);
    this.parts = members.map((one) => parts[one.part]);
    this.positions = new Float32Array(sum((part) => part.positions.length));
    this.normals = new Float32Array(this.positions.length);
    this.colours = new Float32Array(this.positions.length);
    this.indices = new Uint32Array(sum((part) => part.indices.length));
    this.edges = new Float32Array(sum((part) => part.edges.length));
    /** By member: first vertex, triangles' and edges' stretches in what is above. */
    this.ranges = [];
    const at = { vertex: 0, index: 0, edge: 0 };
    for (const one of members) this.add(parts[one.part], one, at);
  }

  add(part, one, at) {
    const { elements } = new Matrix4().compose(
      new Vector3(...one.shift), new Quaternion(...one.turn), new Vector3(1, 1, 1));
    carry(part.positions, this.positions, 3 * at.vertex, elements, false);
    carry(part.edges, this.edges, at.edge, elements, false);
    carry(part.normals, this.normals, 3 * at.vertex, elements, true);
    for (let i = 0; i < part.indices.length; ++i) this.indices[at.index + i] = at.vertex + part.indices[i];
    this.ranges.push({
      instance: one.instance,
      vertex: at.vertex, vertexEnd: at.vertex + part.positions.length / 3,
      index: at.index, indexEnd: at.index + part.indices.length,
      edge: at.edge, edgeEnd: at.edge + part.edges.length,
    });
    at.vertex += part.positions.length / 3;
    at.index += part.indices.length;
    at.edge += part.edges.length;
  }

  /** All members' light triangles, with each member's stretch in them. */
  get few() {
    if (!this.lightIndices) {
      this.lightIndices = new Uint32Array(this.parts.reduce((total, part) => total + part.light.length, 0));
      let at = 0;
      this.parts.forEach(({ light }, member) => {
        const range = this.ranges[member];
        for (let i = 0; i < light.length; ++i) this.lightIndices[at + i] = range.vertex + light[i];
        range.light = at;
        range.lightEnd = at += light.length;
      });
    }
    return this.lightIndices;
  }

  /** Triangles of the members that `wants` takes: all, or the "light" ones. */
  indicesOf(wants, list = "index") {
    const from = list === "light" ? this.few : this.indices;
    const ranges = this.ranges.filter((range) => wants(range.instance));
    if (ranges.length === this.ranges.length) return from;
    const out = new Uint32Array(ranges.reduce((total, one) => total + one[`${list}End`] - one[list], 0));
    let at = 0;
    for (const range of ranges) {
      out.set(from.subarray(range[list], range[`${list}End`]), at);
      at += range[`${list}End`] - range[list];
    }
    return out;
  }

  /** Edges' ends of the members that `wants` takes; null where that is all of them, as they lie. */
  edgesOf(wants) {
    const ranges = this.ranges.filter((range) => wants(range.instance));
    if (ranges.length === this.ranges.length) return null;
    const out = new Uint32Array(ranges.reduce((total, one) => total + (one.edgeEnd - one.edge) / 3, 0));
    let at = 0;
    for (const range of ranges) {
      for (let i = range.edge / 3; i < range.edgeEnd / 3; ++i) out[at++] = i;
    }
    return out;
  }

  /** The instance a vertex belongs to. */
  instanceAt(vertex) {
    return this.ranges.find((range) => vertex < range.vertexEnd).instance;
  }
}

/** A body, or a rope, in the scene: `group` is what moves. */
class Piece {
  constructor(name, merged, materials) {
    this.merged = merged;
    this.group = new Group();
    this.group.name = name;
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(merged.positions, 3));
    geometry.setAttribute("normal", new BufferAttribute(merged.normals, 3));
    geometry.setAttribute("color", new BufferAttribute(merged.colours, 3));
    this.mesh = new Mesh(geometry, materials.faces);
    const lines = new BufferGeometry();
    lines.setAttribute("position", new BufferAttribute(merged.edges, 3));
    this.lines = new LineSegments(lines, materials.edges);
    this.mesh.userData.piece = this;
    this.group.add(this.mesh, this.lines);
    this.marked = new Map();
    this.isLight = false;
    this.show(() => true);
  }

  show(wants) {
    this.wants = wants;
    this.full = new BufferAttribute(this.merged.indicesOf(wants), 1);
    this.few = null;
    const edges = this.merged.edgesOf(wants);
    this.lines.geometry.setIndex(edges && new BufferAttribute(edges, 1));
    this.edgeCount = edges ? edges.length : this.merged.edges.length;
    this.lighten(this.isLight);
  }

  /** With little things and edges left out, to be quick. */
  lighten(on) {
    this.isLight = on;
    if (on) this.few ??= new BufferAttribute(this.merged.indicesOf(this.wants, "light"), 1);
    this.mesh.geometry.setIndex(on ? this.few : this.full);
    this.mesh.visible = this.full.count > 0;
    this.lines.visible = !on && this.edgeCount > 0;
  }

  /** Draws the members that `wants` takes once more, in `material`. */
  mark(key, wants, material) {
    this.unmark(key);
    const indices = this.merged.indicesOf(wants);
    if (indices.length === 0) return;
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", this.mesh.geometry.getAttribute("position"));
    geometry.setAttribute("normal", this.mesh.geometry.getAttribute("normal"));
    geometry.setIndex(new BufferAttribute(indices, 1));
    const mesh = new Mesh(geometry, material);
    mesh.renderOrder = 1;
    this.group.add(mesh);
    this.marked.set(key, mesh);
  }

  dispose() {
    for (const key of [...this.marked.keys()]) this.unmark(key);
    this.mesh.geometry.dispose();
    this.lines.geometry.dispose();
  }

  unmark(key) {
    const mesh = this.marked.get(key);
    if (!mesh) return;
    this.group.remove(mesh);
    // What it shares with the body stays.
    mesh.geometry.deleteAttribute("position").deleteAttribute("normal").dispose();
    this.marked.delete(key);
  }

  paint(colourOf) {
    const colours = this.mesh.geometry.getAttribute("color");
    for (const range of this.merged.ranges) {
      const [red, green, blue] = colourOf(range.instance);
      for (let i = 3 * range.vertex; i < 3 * range.vertexEnd; i += 3) {
        colours.array[i] = red;
        colours.array[i + 1] = green;
        colours.array[i + 2] = blue;
      }
    }
    colours.needsUpdate = true;
  }
}

/** How much of its way along a strand each point goes with the strand's far end. */
function strandShares(rope, points) {
  return points.map((point) => {
    let best = { apart: Infinity, share: 0, strand: 0 };
    rope.strands.forEach((strand, index) => {
      const way = strand.far_mm.map((one, i) => one - strand.near_mm[i]);
      const length = Math.hypot(...way);
      const off = point.map((one, i) => one - strand.near_mm[i]);
      const along = off.reduce((total, one, i) => total + one * way[i], 0) / length;
      const apart = Math.hypot(...off.map((one, i) => one - (along / length) * way[i]));
      if (apart < best.apart) best = { apart, share: Math.min(1, Math.max(0, along / length)), strand: index };
    });
    return best;
  });
}

/** A rope's points at a position of the drive: strands are straight between carrier and far end. */
class RopeShape {
  constructor(rope, carrier, bodies, piece) {
    Object.assign(this, { rope, carrier, bodies, piece });
    this.sets = [piece.mesh, piece.lines].map((object) => {
      const attribute = object.geometry.getAttribute("position");
      const points = [];
      for (let i = 0; i < attribute.count; ++i) points.push(toModel(attribute.array.slice(3 * i, 3 * i + 3)));
      return { attribute, points, shares: strandShares(rope, points), object };
    });
  }

  move(at) {
    for (const { attribute, points, shares, object } of this.sets) {
      points.forEach((point, i) => {
        const near = carried(this.bodies[this.carrier], at, point);
        const { share, strand } = shares[i];
        const far = carried(this.bodies[this.rope.strands[strand].body], at, point);
        attribute.array.set(toScene(near.map((one, k) => one + share * (far[k] - one))), 3 * i);
      });
      attribute.needsUpdate = true;
      object.geometry.boundingSphere = null;
    }
  }
}

/** Everything that is drawn of the gate. */
export class Gate {
  constructor(data, glb, materials, kept) {
    this.data = data;
    const parts = glb.meshes.map((mesh, part) => partGeometry(mesh, data.keys?.[part], kept));
    const members = data.instances.map((one, instance) => ({ ...one, ...glb.placements[instance], instance }));
    const isRope = new Set(data.ropes.map((rope) => rope.instance));
    this.colours = data.instances.map((one) => glb.meshes[one.part].colour);
    this.root = new Group();
    this.bodies = data.bodies.map((body, index) => {
      const own = members.filter((one) => one.body === index && !isRope.has(one.instance));
      return new Piece(`body ${index}`, new Merged(parts, own), materials);
    });
    this.ropes = data.ropes.map((rope) => {
      const member = members[rope.instance];
      const piece = new Piece(member.name, new Merged(parts, [member]), materials);
      return new RopeShape(rope, member.body, data.bodies, piece);
    });
    this.pieces = [...this.bodies, ...this.ropes.map((rope) => rope.piece)];
    for (const piece of this.pieces) this.root.add(piece.group);
    // A rope's bounds at closed would have it left out when it is elsewhere.
    for (const rope of this.ropes) for (const child of rope.piece.group.children) child.frustumCulled = false;
  }

  /** Gives the picture's memory back. */
  dispose() {
    for (const piece of this.pieces) piece.dispose();
  }

  move(at) {
    this.bodies.forEach((piece, index) => {
      const body = this.data.bodies[index];
      const pose = poseAt(body, at);
      piece.group.rotation.z = pose.turn;
      piece.group.position.set(...toScene(carried(body, at, [0, 0, 0])));
    });
    for (const rope of this.ropes) rope.move(at);
    this.root.updateMatrixWorld();
  }

  show(wants) {
    for (const piece of this.pieces) piece.show(wants);
  }

  lighten(on) {
    for (const piece of this.pieces) piece.lighten(on);
  }

  mark(key, instances, material) {
    const set = new Set(instances);
    for (const piece of this.pieces) piece.mark(key, (instance) => set.has(instance), material);
  }

  paint(colourOf) {
    for (const piece of this.pieces) piece.paint(colourOf);
  }
}
