// Figures and elements, as the whole page writes them.

/** Up to two decimals, no trailing zeros. */
export const shown = (value, places = 2) => {
  const text = value.toFixed(places);
  return Number(text) === 0 ? "0" : text.includes(".") ? text.replace(/\.?0+$/, "") : text;
};
export const mm = (value, places = 2) => `${shown(value, places)} mm`;

/** An element: attributes, listeners (onclick), and children, which are elements or text. */
export function make(tag, attributes = {}, ...children) {
  const svg = ["svg", "g", "path", "line", "text", "rect", "circle"].includes(tag);
  const element = svg ? document.createElementNS("http://www.w3.org/2000/svg", tag) : document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}

export const panelWords = (panel) => (panel === 0 ? "Stands still" : `Panel ${panel}`);

/** A pair of a curve or finding in words. */
export const pairWords = (pair) => `${pair.a.words} · ${pair.b.words}`;
