// Turning, shifting and coming nearer by pointer, wheel and keys; a click that is none of these picks.

const DEG_PER_PIXEL = 0.3;
const CLICK_WITHIN_PX = 5;
const ZOOM_PER_WHEEL = 0.0012;
const KEY_DEG = 5, KEY_SHARE = 0.06, KEY_ZOOM = 1.15;

/** Wires `element`; `onLook` gets a new look, `onClick` the event of a click. */
export function wireControls(element, camera, { onLook, onClick }) {
  const held = new Map();
  let travelled = 0;
  const share = (event) => {
    const box = element.getBoundingClientRect();
    return [(event.clientX - box.left) / box.width - 0.5, 0.5 - (event.clientY - box.top) / box.height];
  };

  element.addEventListener("pointerdown", (event) => {
    element.setPointerCapture(event.pointerId);
    held.set(event.pointerId, event);
    if (held.size === 1) travelled = 0;
  });

  element.addEventListener("pointermove", (event) => {
    const before = held.get(event.pointerId);
    if (!before) return;
    const x = event.clientX - before.clientX;
    const y = event.clientY - before.clientY;
    travelled += Math.hypot(x, y);
    const height = element.clientHeight;
    if (held.size === 2) {
      onLook(pinched(camera, [...held.values()], event, height, share));
    } else if (event.shiftKey || (event.buttons & 6) !== 0) {
      onLook(camera.shifted(-x / height, y / height));
    } else if (travelled > CLICK_WITHIN_PX) {
      onLook(camera.turned(-x * DEG_PER_PIXEL, y * DEG_PER_PIXEL));
    }
    held.set(event.pointerId, event);
  });

  const release = (event) => {
    if (!held.delete(event.pointerId)) return;
    if (held.size > 0) return;
    if (event.type === "pointerup" && event.button === 0 && travelled <= CLICK_WITHIN_PX) onClick(event);
  };
  element.addEventListener("pointerup", release);
  element.addEventListener("pointercancel", release);
  element.addEventListener("contextmenu", (event) => event.preventDefault());

  // Whoever rolls past the picture goes on rolling; who has clicked it comes nearer.
  element.addEventListener("wheel", (event) => {
    if (document.activeElement !== element && !event.ctrlKey) return;
    event.preventDefault();
    const lines = event.deltaMode === 1 ? 30 : 1;
    onLook(camera.zoomed(Math.exp(event.deltaY * lines * ZOOM_PER_WHEEL), ...share(event)));
  }, { passive: false });

  element.addEventListener("keydown", (event) => {
    const look = lookOfKey(camera, event);
    if (!look) return;
    event.preventDefault();
    onLook(look);
  });
}

/** Two fingers: their middle shifts, their distance zooms. */
function pinched(camera, fingers, event, height, share) {
  const [moved] = fingers.filter((one) => one.pointerId === event.pointerId);
  const [still] = fingers.filter((one) => one.pointerId !== event.pointerId);
  const apart = (one) => Math.hypot(one.clientX - still.clientX, one.clientY - still.clientY);
  const factor = apart(moved) / Math.max(1, apart(event));
  const [x, y] = share({ clientX: (event.clientX + still.clientX) / 2, clientY: (event.clientY + still.clientY) / 2 });
  const zoomed = camera.zoomed(factor, x, y);
  const shifted = camera.shifted(
    -(event.clientX - moved.clientX) / 2 / height, (event.clientY - moved.clientY) / 2 / height);
  const target = zoomed.target.map((one, i) => one + shifted.target[i] - camera.look.target[i]);
  return { ...zoomed, target };
}

function lookOfKey(camera, { key, shiftKey, ctrlKey, altKey, metaKey }) {
  if (ctrlKey || altKey || metaKey) return null;
  const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  if (ways[key]) {
    const [x, y] = ways[key];
    return shiftKey ? camera.shifted(x * KEY_SHARE, y * KEY_SHARE) : camera.turned(x * KEY_DEG, y * KEY_DEG);
  }
  if (key === "+" || key === "=") return camera.zoomed(1 / KEY_ZOOM);
  if (key === "-") return camera.zoomed(KEY_ZOOM);
  return null;
}
