/** Files that lie beside a page's scripts and are loaded when they are wanted. A handbook that is one file has them in it. */

import { make, one } from "./dom";
import { here, pageAddress } from "./place";

/** The address of a file beside the page's scripts, in the page's language if it is a script. */
export const beside = (name: string, ending = `-${document.documentElement.lang}.js`): string => `${here}assets/${name}${ending}`;

/** What the handbook's one file has of a file. */
const held = (src: string): HTMLElement => one(`[data-file="${new URL(src, pageAddress()).href.slice(here.length)}"]`)!;

/** Loads a script; scripts run in the order in which they are asked for. then is called when it has run, or cannot be had. */
export function load(src: string, then?: () => void): void {
  const script = make("script") as HTMLScriptElement;
  if (bound) {
    const { dataset, textContent } = held(src);
    const { call } = dataset;
    if (call) (window as unknown as Record<string, ((...data: unknown[]) => void) | undefined>)[call]?.(...(JSON.parse(textContent!) as unknown[]));
    else script.textContent = textContent;
  } else {
    script.src = src;
    script.async = false;
    if (then) script.onload = script.onerror = then;
  }
  document.head.append(script);
  if (bound) then?.();
}

/** Loads a style sheet. */
export function style(src: string): void {
  const sheet = make(bound ? "style" : "link");
  if (bound) sheet.textContent = held(src).textContent;
  else {
    sheet.setAttribute("rel", "stylesheet");
    sheet.setAttribute("href", src);
  }
  document.head.append(sheet);
}
