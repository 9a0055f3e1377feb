/** Loads what a practice on a planted fault needs, where the address asks for one. */

import { beside, load, style } from "./beside";
import { query } from "./place";

export function startPractice(): void {
  const circuit = document.body.dataset.practice;
  if (!circuit || !query().startsWith("?practice=")) return;
  style(beside("practice", ".css"));
  load(beside("practice"));
  load(circuit);
}
