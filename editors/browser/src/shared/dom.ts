// Making and finding elements. What others have written only ever becomes text.

type Child = Node | string | null | undefined | false;
type Attributes = Readonly<Record<string, string | number | boolean | null | undefined>>;

/** An element with attributes and children; `true` stands for an attribute without value, `false` for none. */
export function element<K extends keyof HTMLElementTagNameMap>(name: K, attributes: Attributes = {}, ...children: readonly Child[]): HTMLElementTagNameMap[K] {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) {
      made.setAttribute(key, value === true ? "" : String(value));
    }
  }
  made.append(...children.filter((child): child is Node | string => child !== null && child !== undefined && child !== false));
  return made;
}

/** A button that does something here. */
export function button(words: string, act: () => void, attributes: Attributes = {}): HTMLButtonElement {
  const made = element("button", { type: "button", ...attributes }, words);
  made.addEventListener("click", act);
  return made;
}

/** An element of the page's own HTML. */
export function byId<T extends HTMLElement>(id: string, kind: new () => T): T {
  const found = document.getElementById(id);
  if (found instanceof kind) {
    return found;
  }
  throw new Error(`the page has no ${id}`);
}

/** Words for those who hear the page. */
export function heard(words: string): HTMLElement {
  return element("span", { class: "heard" }, words);
}

/** Words for those who see the page; they hear others. */
export function seen(words: string, attributes: Attributes = {}): HTMLElement {
  return element("span", { "aria-hidden": "true", ...attributes }, words);
}

/** Changes an element's text only where it is another, so that nothing is read out twice. */
export function write(to: HTMLElement, words: string): void {
  if (to.textContent !== words) {
    to.textContent = words;
  }
}

/** Writes choices into a list, unless they are the ones that stand there, and chooses one. */
export function offer(select: HTMLSelectElement, choices: readonly (readonly [value: string, words: string])[], chosen: string): void {
  const same = choices.length === select.options.length && choices.every(([value, words], at) => select.options[at]?.value === value && select.options[at]?.text === words);
  if (!same) {
    select.replaceChildren(...choices.map(([value, words]) => element("option", { value }, words)));
  }
  select.value = chosen;
}
