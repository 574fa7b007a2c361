// On paper: the picture as it is seen, and the gate closed, half open and open from the road.
import { drawOverlay, overlayLines } from "./overlay.js";
import { make, mm, shown } from "./words.js";

const WIDE_PX = 1400, TALL_PX = 620;

/** A copy of what the stage shows; WebGL's own canvas is empty once the browser has drawn it. */
function copyOf(stage, words) {
  return make("img", { src: stage.renderer.domElement.toDataURL(), alt: words, decoding: "sync" });
}

/** Fills `holder` with the pictures that are printed. `restore` puts the screen's picture back. */
export function fillPrint(holder, { stage, state, data, fit }, restore) {
  const travel = data.drive_travel_mm;
  const now = state.get("at");
  stage.resize(WIDE_PX, TALL_PX, 1);
  const picture = (at, look, words) => {
    stage.gate.move(at);
    stage.look(look);
    stage.draw();
    const svg = make("svg", { class: "overlay" });
    const figure = make("figure", {}, make("div", { class: "stack" }, copyOf(stage, words), svg),
      make("figcaption", {}, words));
    return { figure, svg };
  };
  const seen = picture(now, state.get("look"), `As on the screen, at ${mm(now)} of drive travel`);
  drawOverlay(seen.svg, stage, overlayLines(state, data));
  stage.bent.show(null);
  stage.fade(false);
  const road = fit("road");
  const others = [[0, "Closed"], [travel / 2, "Half open"], [travel, "Open"]].map(([at, words]) =>
    picture(at, road, `${words}, from the road (${shown(at)} mm of drive travel)`).figure);
  holder.replaceChildren(seen.figure, ...others);
  restore();
}
