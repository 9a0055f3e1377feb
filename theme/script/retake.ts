/** Readings that another model's limits have judged are told, and taken again. */

import { all, button, fill, make, one } from "./dom";
import type { Shown } from "./guide";
import type { Entry } from "./record";
import { verdictOf } from "./spoken";
import type { Side } from "./verdict";

/** Says so above the heading of a card, each as the key that goes back to its step, and marks it in the way so far. */
export function tellRejudged(card: HTMLElement, rejudged: [Entry, Exclude<Side, "">][]): void {
  const was = one(".rejudged");
  const way = (history.state as Shown | null)?.way ?? [];
  // What is not on the way so far is taken again as the way comes to it.
  const list = rejudged.flatMap(([e, side]) => {
    const i = way.findIndex((p) => p.id === e.step && p.at === Date.parse(e.at));
    return i < 0 ? [] : [[e, verdictOf(side, e)[1], i] as const];
  });
  const box = make("div");
  box.className = "rejudged";
  box.setAttribute("role", "status");
  for (const mark of all(".way b")) mark.remove();
  const strip = all(".way li");
  for (const [e, verdict, i] of list) {
    box.append(button(fill(word.job.rejudged, { number: e.number, said: e.said, verdict }), () => one("a", strip[i])!.click()));
    strip[i]!.append(" ", make("b", `≠ ${verdict}`));
  }
  if (was?.parentElement === card && was.textContent === box.textContent) return;
  was?.remove();
  if (!list.length) return;
  card.prepend(box);
  box.scrollIntoView({ block: "nearest" });
}
