/**
 * Values that depend on the serial number: of a machine whose number is known those of other
 * numbers are taken away, before any script reads the page. Without it all stand with their numbers.
 */

import type { Limit, Spec } from "./data";
import { all, one } from "./dom";
import { has, plain, type Serials } from "./serial";
import { recall } from "./store";

/** A range as the page has it; of the value that holds for all other numbers the limit alone. */
type Range = [limit: Limit, ...serials: string[]];

// The number of the job at hand; before there is a job, the one that has led to the model.
const bar = recall<[string, string, string, boolean, string]>(`bar ${recall<string>("job")}`);
const [serial, model] = bar ? [bar[4], bar[2]] : (recall<string[]>("serial", "sessionStorage") ?? []);
const element = one("#page-data");
if (serial && model && element) {
  const number = plain(serial);
  const within = (serials: string[]): boolean => has([model, ...serials] as Serials, number);
  const data = JSON.parse(element.textContent!) as { specs: Record<string, Spec & { ranges?: Record<string, Range[]> }> };
  for (const spec of Object.values(data.specs ?? {})) {
    const ranges = spec.ranges?.[model];
    const found = ranges && (ranges.find(([, ...serials]) => serials.length && within(serials)) ?? ranges.find((r) => r.length === 1));
    if (found) spec.limits[model] = found[0];
  }
  element.textContent = JSON.stringify(data);
}
if (serial && model) {
  const number = plain(serial);
  const holds = (e: HTMLElement): boolean => !!e.dataset.serials && has([model, ...e.dataset.serials.split(",")] as Serials, number);
  const gone: HTMLElement[] = [];
  for (const e of all("[data-serials]")) {
    if (e.dataset.model !== model) continue;
    const ranged = [...e.parentElement!.children].filter((x): x is HTMLElement => x instanceof HTMLElement && "serials" in x.dataset && x.dataset.model === model);
    if (ranged.some(holds) ? !holds(e) : e.dataset.serials) gone.push(e);
  }
  for (const e of gone) e.remove();
}
