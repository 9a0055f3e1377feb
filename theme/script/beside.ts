/** Scripts that lie beside this one and are loaded when they are wanted. */

import { make } from "./dom";

const own = (document.currentScript as HTMLScriptElement).src;

/** The address of a file beside this script: page-en.js has practice-en.js there. */
export const beside = (name: string, ending = own.slice(own.lastIndexOf("-"))): string => own.replace(/[^/]+$/, name + ending);

/** Loads a script; scripts run in the order in which they are asked for. then is called when it has run, or cannot be had. */
export function load(src: string, then?: () => void): void {
  const script = make("script") as HTMLScriptElement;
  script.src = src;
  script.async = false;
  if (then) script.onload = script.onerror = then;
  document.head.append(script);
}
