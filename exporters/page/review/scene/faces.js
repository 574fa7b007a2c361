// How faces are drawn: lit at the corners, not at every pixel, which a browser without a graphics card
// has to do by itself. Faces seen from inside are where a section cuts a solid: hatched, at 45 degrees.
import { Color, ShaderMaterial } from "three";

const CUT_COLOUR = "#c2803f";

const CORNERS = `
  #include <common>
  #include <clipping_planes_pars_vertex>
  uniform vec3 plain;
  varying vec3 shade;
  void main() {
    #include <begin_vertex>
    #include <project_vertex>
    #include <clipping_planes_vertex>
    // From above, over the watcher's left shoulder, and a little from everywhere.
    vec3 n = normalize(normalMatrix * normal);
    float light = 0.52 + 0.2 * n.y + 0.36 * max(0.0, dot(n, vec3(-0.41, 0.62, 0.67)));
    #ifdef USE_COLOR
      vec3 own = color;
    #else
      vec3 own = plain;
    #endif
    shade = pow(min(own * light * 1.55, 1.0), vec3(1.0 / 2.2));
  }`;
const PIXELS = `
  #include <clipping_planes_pars_fragment>
  uniform vec3 cut;
  uniform float opacity;
  varying vec3 shade;
  void main() {
    #include <clipping_planes_fragment>
    float line = step(6.0, mod(gl_FragCoord.x + gl_FragCoord.y, 8.0));
    gl_FragColor = vec4(gl_FrontFacing ? shade : mix(cut, 0.45 * cut, line), opacity);
  }`;

/** By each corner's own colour, or all of `plain`. */
export function faces({ plain, ...settings } = {}) {
  return new ShaderMaterial({
    vertexShader: CORNERS,
    fragmentShader: PIXELS,
    uniforms: {
      plain: { value: new Color(plain ?? "#ffffff") },
      // As it is shown: the shader writes what the screen takes.
      cut: { value: new Color().setStyle(CUT_COLOUR, "srgb-linear") },
      opacity: { value: 1 },
    },
    vertexColors: plain === undefined,
    clipping: true,
    ...settings,
  });
}

/** Opaque, or seen through and hiding nothing. */
export function setOpacity(material, opacity) {
  material.uniforms.opacity.value = opacity;
  material.transparent = opacity < 1;
  material.depthWrite = opacity === 1;
  material.needsUpdate = true;
}
