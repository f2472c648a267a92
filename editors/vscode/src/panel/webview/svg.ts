// Making elements of the picture's text, and nothing else.

const SVG = "http://www.w3.org/2000/svg";

/**
 * The picture as an element of this page; `undefined` when it is none. It is read as XML, and whatever could act or
 * fetch is left out. The page's policy forbids that as well, and lets styles in only with the page's own word.
 */
export function svgOf(text: string, nonce: string): SVGSVGElement | undefined {
  const read = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = read.documentElement;
  if (root.namespaceURI !== SVG || root.localName !== "svg" || read.querySelector("parsererror")) {
    return undefined;
  }
  for (const element of [root, ...root.querySelectorAll("*")]) {
    if (element.namespaceURI !== SVG || /^(script|foreignObject|image|animate.*|set|a)$/.test(element.localName)) {
      element.remove();
      continue;
    }
    for (const { name, value } of [...element.attributes]) {
      const outside = /(^|:)href$/.test(name) && !value.startsWith("#");
      if (/^on/i.test(name) || outside) {
        element.removeAttribute(name);
      }
    }
  }
  const svg = document.importNode(root, true) as unknown as SVGSVGElement;
  for (const style of svg.querySelectorAll("style")) {
    style.setAttribute("nonce", nonce);
  }
  for (const element of [svg, ...svg.querySelectorAll<SVGElement>("[style]")]) {
    // The policy overlooks style attributes; set by a script they hold.
    const style = element.getAttribute("style");
    if (style !== null) {
      element.removeAttribute("style");
      element.style.cssText = style;
    }
  }
  return svg;
}
