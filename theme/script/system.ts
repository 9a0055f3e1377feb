/** The reader's system of units: chosen once, remembered on the phone. */

import { data } from "./data";
import { recall, remember } from "./store";

let chosen = recall<string>("units");

/** The system in use: the reader's choice, else the handbook's. */
export const system = (): string => chosen ?? data.system ?? "metric";

/** Whether the reader has chosen; until then fields stand as their author wrote them. */
export const isChosen = (): boolean => chosen !== null;

export function choose(system: string): void {
  chosen = system;
  remember("units", system);
}
