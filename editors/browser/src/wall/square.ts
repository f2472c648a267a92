// An address as a square that cameras read (ISO/IEC 18004).

import { encode } from "uqr";

const SVG = "http://www.w3.org/2000/svg";
/** How many of its own points stay white around it, as the standard asks. */
const QUIET = 4;

/** The square; dark on light whatever the page's colours, since cameras expect that. */
export function square(words: string, label: string): SVGSVGElement {
  const { data, size } = encode(words, { ecc: "M", border: QUIET });
  const made = (name: string, attributes: Record<string, string>) => {
    const element = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) {
      element.setAttribute(key, value);
    }
    return element;
  };
  const points = data.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x} ${y}h1v1h-1z`] : [])));
  const svg = made("svg", { viewBox: `0 0 ${size} ${size}`, class: "square", role: "img", "aria-label": label, "shape-rendering": "crispEdges" });
  svg.append(made("rect", { width: String(size), height: String(size), fill: "#fff" }), made("path", { d: points.join(""), fill: "#000" }));
  return svg as SVGSVGElement;
}
