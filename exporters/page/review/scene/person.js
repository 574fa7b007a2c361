// A person for scale: a plain figure, upright, of the height that the page's data say.
import { CylinderGeometry, Group, Mesh, SphereGeometry } from "three";
import { faces } from "./faces.js";
import { toScene } from "./motion.js";

const COLOUR = "#7d7467";
/** Shares of the height: middle (across, up), height, radius above and below, depth to width. */
const LIMBS = [
  { at: [0, 0.66], tall: 0.34, top: 0.118, foot: 0.083, flat: 0.55 },
  { at: [0, 0.835], tall: 0.05, top: 0.033, foot: 0.04, flat: 1 },
  ...[-1, 1].flatMap((side) => [
    { at: [side * 0.048, 0.25], tall: 0.5, top: 0.046, foot: 0.026, flat: 1 },
    { at: [side * 0.14, 0.64], tall: 0.37, top: 0.028, foot: 0.02, flat: 1 },
  ]),
];
const HEAD = { at: 0.93, radius: 0.07, wide: 0.82 };
const SIDES = 14;

/** Stands with its feet at `at_mm` (model's frame). */
export function personOf({ height_mm: height, at_mm: at }) {
  const material = faces({ plain: COLOUR });
  const group = new Group();
  const m = height / 1000;
  const add = (geometry, x, y) => {
    const mesh = new Mesh(geometry, material);
    mesh.position.set(x * m, y * m, 0);
    group.add(mesh);
  };
  for (const { at: [x, y], tall, top, foot, flat } of LIMBS) {
    add(new CylinderGeometry(top * m, foot * m, tall * m, SIDES).scale(1, 1, flat), x, y);
  }
  add(new SphereGeometry(HEAD.radius * m, SIDES, SIDES).scale(HEAD.wide, 1, HEAD.wide), 0, HEAD.at);
  group.position.set(...toScene(at));
  return group;
}

export function disposeOf(group) {
  for (const mesh of group.children) mesh.geometry.dispose();
}
