/** Loads what a practice on a planted fault needs, where the address asks for one. */

import { beside, load } from "./beside";
import { make } from "./dom";

export function startPractice(): void {
  const circuit = document.body.dataset.practice;
  if (!circuit || !location.search.startsWith("?practice=")) return;
  const style = make("link");
  style.setAttribute("rel", "stylesheet");
  style.setAttribute("href", beside("practice", ".css"));
  document.head.append(style);
  load(beside("practice"));
  load(circuit);
}
