/** Short hands for the document. */

export const all = <E extends HTMLElement>(selector: string, within: ParentNode = document): E[] => [
  ...within.querySelectorAll<E>(selector),
];

export const one = <E extends HTMLElement>(selector: string, within: ParentNode = document): E | null =>
  within.querySelector<E>(selector);

/** Words in another language than the page's say so. */
function mark(e: Element, text: string): void {
  if (text[0] === "\u2066") e.setAttribute("lang", "en");
  else e.removeAttribute("lang");
}

/** An element with a text. The text never becomes markup. */
export function make(name: string, text = ""): HTMLElement {
  const e = document.createElement(name);
  e.textContent = text;
  if (borrowed) mark(e, text);
  return e;
}

export function button(text: string, press: () => void): HTMLButtonElement {
  const b = make("button", text) as HTMLButtonElement;
  b.type = "button";
  b.onclick = press;
  return b;
}

/** Puts a text where another one stands. A screen reader reads out what is new alone. */
export function put(e: Element, text: string): void {
  if (e.textContent !== text) e.textContent = text;
  if (borrowed) mark(e, text);
}

/** A value keeps its own order in a text that is written from right to left, as the build writes it. */
export const own = (value: string | number): string => (rtl && value !== "" ? `\u2068${value}\u2069` : (value as string));

/** The text with each {name} replaced by its value. */
export const fill = (text: string, values: Record<string, string | number>): string =>
  text.replace(/\{(\w+)\}/g, (whole, name: string) => own(values[name] ?? whole));

/** The ids in an attribute. */
export const ids = (list: string | undefined): string[] => list?.split(" ").filter(Boolean) ?? [];

/** Calls a function once what stands now is painted. */
export const afterPaint = (f: () => unknown): number => requestAnimationFrame(() => setTimeout(f));
