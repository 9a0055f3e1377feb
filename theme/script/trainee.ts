/** Loads what a practice on a planted fault needs, where the address asks for one. */

import { make } from "./dom";

const own = (document.currentScript as HTMLScriptElement).src;

export function startPractice(): void {
  const circuit = document.body.dataset.practice;
  if (!circuit || !location.search.startsWith("?practice=")) return;
  const beside = (ending: string): string => own.replace(/[^/]+$/, "practice" + ending);
  const style = make("link");
  style.setAttribute("rel", "stylesheet");
  style.setAttribute("href", beside(".css"));
  document.head.append(style);
  // page-en.js has practice-en.js beside it.
  for (const src of [beside(own.slice(own.lastIndexOf("-"))), circuit]) {
    const script = make("script") as HTMLScriptElement;
    script.src = src;
    script.async = false; // one after the other
    document.head.append(script);
  }
}
