/** Readings that another model's limits have judged: they are told, and taken again. */

import { page } from "./answered";
import { data } from "./data";
import { button, fill, make, one } from "./dom";
import { record } from "./hand";
import { otherwise } from "./journal";
import { limitOf } from "./model";
import type { Entry } from "./record";
import { verdicts } from "./spoken";
import type { Side } from "./verdict";

/** Those of this page that the limits of the machine at hand judge in another way than they were judged. */
export function rejudged(): [Entry, Exclude<Side, "">][] {
  const own = record?.entries.filter((e) => e.page === page) ?? [];
  return otherwise(own, (spec) => data.specs?.[spec] && limitOf(data.specs[spec]!));
}

/** Says so above the card, each as the key that goes back to its step. */
export function tellRejudged(goTo: (e: Entry) => void): void {
  one(".rejudged")?.remove();
  const list = rejudged();
  if (!list.length) return;
  const box = make("div");
  box.className = "rejudged";
  box.setAttribute("role", "status");
  for (const [e, side] of list) {
    const text = fill(word.job.rejudged, { number: String(e.number), said: e.said, verdict: verdicts[side][1] });
    box.append(button(text, () => goTo(e)));
  }
  one(".resumed")!.after(box);
}
