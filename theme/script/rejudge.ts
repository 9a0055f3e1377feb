/** Readings that another model's limits have judged: they are told, and taken again. */

import { page } from "./answered";
import { data } from "./data";
import { all, button, fill, make, one } from "./dom";
import { record } from "./hand";
import { gone } from "./jobway";
import { otherwise } from "./journal";
import { limitOf } from "./model";
import type { Entry } from "./record";
import { verdictOf } from "./spoken";
import type { Side } from "./verdict";

/** Those of this page that the limits of the machine at hand judge in another way than they were judged. */
export function rejudged(): [Entry, Exclude<Side, "">][] {
  const own = record?.entries.filter((e) => e.page === page) ?? [];
  return otherwise(own, (spec) => data.specs?.[spec] && limitOf(data.specs[spec]!));
}

/** Says so above the heading of a card, each as the key that goes back to its step, and marks it in the way so far. */
export function tellRejudged(card: HTMLElement): void {
  const was = one(".rejudged");
  const way = gone();
  // What is not on the way so far is taken again as the way comes to it.
  const list = rejudged().flatMap(([e, side]) => {
    const i = way.findIndex((p) => p.id === e.step && p.at === Date.parse(e.at));
    return i < 0 ? [] : [[e, verdictOf(side, e)[1], i] as const];
  });
  const box = make("div");
  box.className = "rejudged";
  box.setAttribute("role", "status");
  for (const mark of all(".way b")) mark.remove();
  const strip = all(".way li");
  for (const [e, verdict, i] of list) {
    box.append(button(fill(word.job.rejudged, { number: String(e.number), said: e.said, verdict }), () => one("a", strip[i])!.click()));
    strip[i]!.append(" ", make("b", `≠ ${verdict}`));
  }
  if (was?.parentElement === card && was.textContent === box.textContent) return;
  was?.remove();
  if (!list.length) return;
  card.prepend(box);
  box.scrollIntoView({ block: "nearest" });
}
