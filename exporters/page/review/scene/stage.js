// The picture: scene, light, section, what is marked, and what a click hits. Draws only when asked.
import {
  Box3, Color, DoubleSide, FrontSide, LineBasicMaterial, Plane, Raycaster, Scene, Sphere, Vector2,
  Vector3, WebGLRenderer,
} from "three";
import { Bent } from "./bent.js";
import { Gate } from "./bodies.js";
import { Camera } from "./camera.js";
import { faces, setOpacity } from "./faces.js";
import { disposeOf, personOf } from "./person.js";

const BACKGROUND = "#f4f5f2";
export const MARK_COLOURS = ["#d9731a", "#1f6fb2"];
const PANEL_COLOURS = ["#8d9296", "#54789c", "#c08a3e", "#5d8f6a", "#94678f"];
const FADED = { faces: 0.16, edges: 0.12 };
const EDGES = 0.42;
const MARKED = 0.72;
const AXES = { x: [1, 0, 0], y: [0, 0, -1], z: [0, 1, 0] };

export class Stage {
  /** Throws where there is no WebGL. */
  constructor(canvas, data, glb) {
    this.renderer = new WebGLRenderer({ canvas, antialias: false });
    this.clear();
    this.materials = {
      faces: faces({ polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 }),
      edges: new LineBasicMaterial({ color: "#1b2429", transparent: true, opacity: EDGES }),
      marks: MARK_COLOURS.map((plain) => faces({ plain })),
    };
    this.camera = new Camera();
    this.scene = new Scene();
    this.bent = new Bent();
    this.bent.show(null);
    this.scene.add(this.bent.group);
    this.meshes = new Map();
    this.take(data, glb);
    this.raycaster = new Raycaster();
    this.frames = 0;
  }

  /** Shows this gate, in the place of another where there is one. */
  take(data, glb) {
    if (this.gate) {
      this.scene.remove(this.gate.root);
      this.gate.dispose();
    }
    this.data = data;
    this.gate = new Gate(data, glb, this.materials, this.meshes);
    this.scene.add(this.gate.root);
    const stands = this.person?.visible ?? false;
    if (this.person) {
      this.scene.remove(this.person);
      disposeOf(this.person);
    }
    this.person = personOf(data.person);
    this.person.visible = stands;
    this.scene.add(this.person);
    this.measureBounds();
  }

  /** What is behind the gate; a context that comes back does not know it. */
  clear() {
    const own = getComputedStyle(document.documentElement).getPropertyValue("--picture").trim();
    this.renderer.setClearColor(own || BACKGROUND);
  }

  /** Boxes of all positions, and of what moves alone, the ground's far ends left out. */
  measureBounds() {
    this.box = new Box3();
    this.movingBox = new Box3();
    for (const at of [0, this.data.drive_travel_mm]) {
      this.gate.move(at);
      this.box.union(new Box3().setFromObject(this.gate.root));
      for (const piece of this.gate.bodies.slice(1)) {
        if (piece.merged.ranges.length > 0) this.movingBox.union(new Box3().setFromObject(piece.group));
      }
    }
    this.sphere = this.box.getBoundingSphere(new Sphere());
  }

  /** Of all that goes with a body, where it is now. */
  boxOf(body) {
    return new Box3().setFromObject(this.gate.bodies[body].group);
  }

  /** The box a view is fitted to: all positions of the gate, the person, and where `dimensions` stand. */
  viewBox(dimensions = []) {
    const box = this.movingBox.clone();
    if (this.person.visible) box.union(new Box3().setFromObject(this.person));
    for (const one of dimensions) {
      for (const [x, y, z] of [one.from_mm, one.to_mm]) {
        box.expandByPoint(new Vector3(x / 1000, z / 1000, -y / 1000));
      }
    }
    return box;
  }

  resize(width, height, ratio) {
    this.size = [width, height];
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(width, height, false);
  }

  look(look) {
    this.camera.apply(look, this.size[0] / this.size[1], this.sphere);
  }

  /** Only where parts are marked: the others step back. */
  fade(on) {
    if (this.isFaded === on) return;
    this.isFaded = on;
    setOpacity(this.materials.faces, on ? FADED.faces : 1);
    this.materials.edges.opacity = on ? FADED.edges : EDGES;
    // Both of a pair are to be seen where the one is inside the other.
    for (const material of this.materials.marks) setOpacity(material, on ? MARKED : 1);
  }

  paint(byPanel) {
    const panels = PANEL_COLOURS.map((text) => new Color(text).toArray());
    const { instances } = this.data;
    this.gate.paint((instance) => byPanel ? panels[instances[instance].panel] : this.gate.colours[instance]);
  }

  cut(cut) {
    for (const material of [this.materials.faces, ...this.materials.marks]) {
      material.side = cut ? DoubleSide : FrontSide;
      material.needsUpdate = true;
    }
    // Behind a thin wall the offset by slope would let its far side through.
    this.materials.faces.polygonOffsetFactor = cut ? 0 : 1;
    if (!cut) {
      this.renderer.clippingPlanes = [];
      return;
    }
    const sign = cut.flipped ? 1 : -1;
    const normal = new Vector3(...AXES[cut.axis]).multiplyScalar(sign);
    this.renderer.clippingPlanes = [new Plane(normal, (-sign * cut.at) / 1000)];
  }

  draw() {
    this.renderer.render(this.scene, this.camera.active);
    ++this.frames;
  }

  /** What is at a place of the canvas (-1 to 1, up): instance, body and point (scene), or nothing. */
  hit(x, y) {
    this.raycaster.setFromCamera(new Vector2(x, y), this.camera.active);
    const meshes = this.gate.pieces.map((piece) => piece.mesh).filter((mesh) => mesh.visible);
    const planes = this.renderer.clippingPlanes;
    const hits = this.raycaster.intersectObjects(meshes, false)
      .filter((one) => planes.every((plane) => plane.distanceToPoint(one.point) >= 0));
    if (hits.length === 0) return null;
    const [{ object, face, point }] = hits;
    const { piece } = object.userData;
    const corners = [face.a, face.b, face.c].map((vertex) =>
      new Vector3().fromBufferAttribute(object.geometry.getAttribute("position"), vertex)
        .applyMatrix4(object.matrixWorld));
    const instance = piece.merged.instanceAt(face.a);
    return { instance, body: this.data.instances[instance].body, point, corners };
  }

  /** Pixels of a point of the scene, from the canvas's top left; `behind` the eye or not. */
  pixel(point) {
    const at = point.clone().project(this.camera.active);
    return { x: ((at.x + 1) / 2) * this.size[0], y: ((1 - at.y) / 2) * this.size[1], behind: at.z > 1 };
  }
}
