// From where the gate is looked at: turned about a point, near or far, in depth or flat.
import { OrthographicCamera, PerspectiveCamera, Vector3 } from "three";
import { toModel, toScene } from "./motion.js";

const FIELD_DEG = 26;
const MARGIN = 1.06;
export const STEEPEST_DEG = 90;
export const SPANS_MM = [5, 60000];
const rad = (deg) => (deg * Math.PI) / 180;

/** Views by name: yaw 0 looks from the road, 90 from where X is largest; pitch 90 from above. */
export const viewsFor = (openingSign) => ({
  corner: { yaw: openingSign * -28, pitch: 18, flat: false, words: "Corner" },
  road: { yaw: 0, pitch: 0, flat: true, words: "Road" },
  behind: { yaw: 180, pitch: 0, flat: true, words: "Behind" },
  above: { yaw: 0, pitch: 90, flat: true, words: "Above" },
  end: { yaw: openingSign * 90, pitch: 0, flat: true, words: "End" },
});

export class Camera {
  constructor() {
    this.deep = new PerspectiveCamera(FIELD_DEG);
    this.flat = new OrthographicCamera();
    for (const camera of [this.deep, this.flat]) camera.rotation.order = "YXZ";
    this.aspect = 1;
    this.look = { yaw: 0, pitch: 0, span: 5000, target: [0, 0, 0], flat: false };
  }

  get active() {
    return this.look.flat ? this.flat : this.deep;
  }

  /** Right, up and towards the eye, in the scene. */
  axes(look = this.look) {
    const yaw = rad(look.yaw);
    const pitch = rad(look.pitch);
    return {
      right: new Vector3(Math.cos(yaw), 0, -Math.sin(yaw)),
      up: new Vector3(-Math.sin(yaw) * Math.sin(pitch), Math.cos(pitch), -Math.cos(yaw) * Math.sin(pitch)),
      eye: new Vector3(Math.sin(yaw) * Math.cos(pitch), Math.sin(pitch), Math.cos(yaw) * Math.cos(pitch)),
    };
  }

  /** A look from yaw and pitch that has a box of the scene in it, filling the picture. */
  fitted({ yaw, pitch, flat }, box) {
    const target = toModel(box.getCenter(new Vector3()).toArray());
    const look = { yaw, pitch, flat, span: 2000 * box.getSize(new Vector3()).length(), target };
    // In depth, what is near grows as the eye comes nearer: a few rounds settle it.
    for (let round = 0; round < (flat ? 2 : 12); ++round) {
      const { middle, half } = this.seen(look, box);
      const { right, up } = this.axes(look);
      const shift = right.multiplyScalar(middle[0] * look.span / 2).addScaledVector(up, (middle[1] * look.span) / 2);
      look.target = [look.target[0] + shift.x, look.target[1] - shift.z, look.target[2] + shift.y];
      look.span *= MARGIN * Math.max(half[0] / this.aspect, half[1]);
    }
    return look;
  }

  /** Middle and half size of a box in the picture, in halves of the picture's height. */
  seen(look, box) {
    const axes = this.axes(look);
    const target = new Vector3(...toScene(look.target));
    const span = look.span / 1000;
    const away = span / 2 / Math.tan(rad(FIELD_DEG / 2));
    const low = [Infinity, Infinity];
    const high = [-Infinity, -Infinity];
    for (let corner = 0; corner < 8; ++corner) {
      const at = new Vector3(
        corner & 1 ? box.max.x : box.min.x,
        corner & 2 ? box.max.y : box.min.y,
        corner & 4 ? box.max.z : box.min.z,
      ).sub(target);
      const nearer = look.flat ? 1 : away / Math.max(away / 20, away - at.dot(axes.eye));
      [at.dot(axes.right), at.dot(axes.up)].forEach((one, i) => {
        low[i] = Math.min(low[i], (one * nearer * 2) / span);
        high[i] = Math.max(high[i], (one * nearer * 2) / span);
      });
    }
    return { middle: low.map((one, i) => (one + high[i]) / 2), half: low.map((one, i) => (high[i] - one) / 2) };
  }

  /** Takes a look over; `sphere` is what must not be cut off in front or behind. */
  apply(look, aspect, sphere) {
    this.look = look;
    this.aspect = aspect;
    const span = look.span / 1000;
    const target = new Vector3(...toScene(look.target));
    const away = look.flat ? sphere.radius * 2 + target.distanceTo(sphere.center)
                           : span / 2 / Math.tan(rad(FIELD_DEG / 2));
    const camera = this.active;
    camera.position.copy(target).addScaledVector(this.axes().eye, away);
    camera.rotation.set(-rad(look.pitch), rad(look.yaw), 0);
    const reach = camera.position.distanceTo(sphere.center) + sphere.radius;
    camera.far = reach * 1.01;
    camera.near = Math.max(Math.min(reach / 400, away / 5), away - sphere.radius - target.distanceTo(sphere.center));
    if (look.flat) {
      camera.near = 0;
      Object.assign(camera, { left: (-span * aspect) / 2, right: (span * aspect) / 2, top: span / 2, bottom: -span / 2 });
    } else {
      camera.aspect = aspect;
    }
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }

  turned(yawBy, pitchBy) {
    const { yaw, pitch } = this.look;
    const turned = ((((yaw + yawBy + 180) % 360) + 360) % 360) - 180;
    const tilted = Math.min(STEEPEST_DEG, Math.max(-STEEPEST_DEG, pitch + pitchBy));
    return { ...this.look, yaw: turned, pitch: tilted };
  }

  /** The eye shifted by shares of the picture's height. */
  shifted(right, up) {
    const axes = this.axes();
    const by = axes.right.multiplyScalar(right * this.look.span).addScaledVector(axes.up, up * this.look.span);
    const [x, y, z] = this.look.target;
    return { ...this.look, target: [x + by.x, y - by.z, z + by.y] };
  }

  /** `factor` below 1 comes nearer; what is at (x, y) of the picture (-0.5 to 0.5) stays there. */
  zoomed(factor, x = 0, y = 0) {
    const span = Math.min(SPANS_MM[1], Math.max(SPANS_MM[0], this.look.span * factor));
    const grown = 1 - span / this.look.span;
    const shifted = this.shifted(x * this.aspect * grown, y * grown);
    return { ...shifted, span };
  }
}
