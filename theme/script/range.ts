/**
 * Values that depend on the serial number: of a machine whose number is known those of other
 * numbers are taken away, before any script reads the page. Without it, and of a number that the model
 * does not have, all stand with their numbers.
 */

import type { Limit, Spec } from "./data";
import { all, one } from "./dom";
import { has, plain, type Serials } from "./serial";
import { recall } from "./store";

// The number of the job at hand; before there is a job, the one that has led to the model.
const bar = recall<[string, string, string, boolean, string]>(`bar ${recall<string>("job")}`);
const [serial, model] = bar ? [bar[4], bar[2]] : (recall<string[]>("serial", "sessionStorage") ?? []);
const element = one("#page-data");
if (serial && model) {
  const number = plain(serial);
  /** Whether one of some ranges has the number; of several values the first one holds for which that is so. */
  const holds = (ranges: string): boolean => ranges.split(" ").some((r) => has([model, ...r.split(",")] as Serials, number));
  const gone: HTMLElement[] = [];
  for (const e of all("[data-serials]")) {
    if (e.dataset.model !== model) continue;
    const right = all(`[data-serials][data-model="${model}"]`, e.parentElement!).find((x) => holds(x.dataset.serials!));
    if (right && right !== e) gone.push(e);
  }
  for (const e of gone) e.remove();
  if (element) {
    const data = JSON.parse(element.textContent!) as { specs?: Record<string, Spec & { ranges?: Record<string, [limit: Limit, numbers: string][]> }> };
    for (const spec of Object.values(data.specs ?? {})) {
      const found = spec.ranges?.[model]?.find(([, numbers]) => holds(numbers));
      if (found) spec.limits[model] = found[0];
    }
    element.textContent = JSON.stringify(data);
  }
}
