/**
 * Values that depend on the serial number: of a machine whose number is known those of other
 * numbers are taken away, before any script reads the page, and the right one says by which number it is.
 * Without it, and of a number that the model does not have, all stand with their numbers.
 */

import type { Limit, Spec } from "./data";
import { all, make, one, own } from "./dom";
import { has, plain, type Serials } from "./serial";
import { recall } from "./store";

const select = one<HTMLSelectElement>("select[name=model]")!;

/** The number of the job at hand; before there is a job, the one that has led to the model. It holds as long as its model is the chosen one. */
function inForce(): string[] {
  const bar = recall<[string, string, string, boolean, string]>(`bar ${recall<string>("job")}`);
  const [serial, model] = bar ? [bar[4], bar[2]] : (recall<string[]>("serial", "sessionStorage") ?? []);
  const options = [...select.options].map((o) => o.value);
  const last = recall<string>("model") ?? "";
  return serial && model === (options.includes(last) ? last : options[0]) ? [serial, model!] : [];
}

const [serial, model] = inForce();
const element = one("#page-data");
if (serial && model) {
  const number = plain(serial);
  /** Whether one of some ranges has the number; of several values the first one holds for which that is so. */
  const holds = (ranges: string): boolean => ranges.split(" ").some((r) => has([model, ...r.split(",")] as Serials, number));
  const right = new Set<HTMLElement>();
  const gone: HTMLElement[] = [];
  for (const e of all("[data-serials]")) {
    if (e.dataset.model !== model) continue;
    const found = all(`[data-serials][data-model="${model}"]`, e.parentElement!).find((x) => holds(x.dataset.serials!));
    if (found === e) right.add(e);
    else if (found) gone.push(e);
  }
  for (const e of gone) {
    // A cell keeps its size: nothing else in its table moves.
    const cell = e.closest("td");
    if (cell) Object.assign(cell.style, { width: `${cell.offsetWidth}px`, height: `${cell.offsetHeight}px` });
    e.remove();
  }
  for (const e of right) {
    one(".then", e)?.remove();
    (one("td, dd", e) ?? e).append(make("span", ` (${word.jobs.serial} ${own(serial)})`));
  }
  if (element) {
    const data = JSON.parse(element.textContent!) as { specs?: Record<string, Spec & { ranges?: Record<string, [limit: Limit, numbers: string][]> }> };
    for (const spec of Object.values(data.specs ?? {})) {
      const found = spec.ranges?.[model]?.find(([, numbers]) => holds(numbers));
      if (found) spec.limits[model] = found[0];
    }
    element.textContent = JSON.stringify(data);
  }
}

/** With another machine the sheet is read anew. */
const look = (): void => {
  if (String(inForce()) !== String([serial, model].filter(Boolean))) location.reload();
};
select.addEventListener("change", () => setTimeout(look)); // once the choice is kept
addEventListener("pageshow", look); // the way back brings a page as it was
