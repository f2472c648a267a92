// Making elements of the picture's text, and nothing else.

const SVG = "http://www.w3.org/2000/svg";

/** A picture ready to be shown, and its style sheet. */
export interface Ready {
  readonly svg: SVGSVGElement;
  readonly style: CSSStyleSheet;
}

/**
 * The picture as an element of this page; `undefined` when it is none. It is read as XML, and whatever could act or
 * fetch is left out, which the page's policy forbids as well. The policy also overlooks styles that stand in the
 * picture, so they are taken out and made a sheet of this page.
 */
export function svgOf(text: string): Ready | undefined {
  const read = new DOMParser().parseFromString(text, "image/svg+xml");
  const root = read.documentElement;
  if (root.namespaceURI !== SVG || root.localName !== "svg" || read.querySelector("parsererror")) {
    return undefined;
  }
  const style = new CSSStyleSheet();
  style.replaceSync([...root.querySelectorAll("style")].map((one) => one.textContent).join("\n"));
  for (const element of [root, ...root.querySelectorAll("*")]) {
    if (element.namespaceURI !== SVG || /^(style|script|foreignObject|image|animate.*|set|a)$/.test(element.localName)) {
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
  return { svg: document.importNode(root, true) as unknown as SVGSVGElement, style };
}
