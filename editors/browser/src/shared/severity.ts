// Severity of a finding: its order, and the mark that the picture has for it too.

/** Severities, from the worst down. */
export const SEVERITIES = ["error", "warning", "information", "hint"] as const;
export type Severity = (typeof SEVERITIES)[number];

/** The worst of several. */
export function worst(of: Iterable<Severity>): Severity | undefined {
  const all = new Set(of);
  return SEVERITIES.find((severity) => all.has(severity));
}

/** Whether one is as severe as another, or more so. */
export function reaches(severity: Severity, bar: Severity): boolean {
  return SEVERITIES.indexOf(severity) <= SEVERITIES.indexOf(bar);
}

const SVG = "http://www.w3.org/2000/svg";
const SHAPES: Record<Severity, readonly [name: string, attributes: Record<string, string>]> = {
  error: ["polygon", { points: "8,0.5 15.5,8 8,15.5 0.5,8" }],
  warning: ["polygon", { points: "8,1 15.5,14.5 0.5,14.5" }],
  information: ["circle", { cx: "8", cy: "8", r: "5.5" }],
  hint: ["circle", { cx: "8", cy: "8", r: "3" }],
};

/** The mark of a severity, told apart by its shape: diamond, triangle, ring, point. */
export function mark(severity: Severity): SVGSVGElement {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "0 0 16 16");
  svg.setAttribute("class", `mark mark-${severity}`);
  svg.setAttribute("aria-hidden", "true");
  const [name, attributes] = SHAPES[severity];
  const shape = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) {
    shape.setAttribute(key, value);
  }
  svg.append(shape);
  return svg;
}
