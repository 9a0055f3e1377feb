/** What is said of a reading or a time, and the answer that follows. */

import type { Limit } from "./data";
import { all, fill, make, one } from "./dom";
import { ofModel } from "./model";
import { format } from "./number";
import { guardFactor, judge } from "./verdict";

/** The verdict, and the outcome that follows; "" where none does. */
export interface Judged {
  verdict: string;
  side: string;
  words: [string, string?];
}

/** Words without a verdict. */
export const only = (words: string): Judged => ({ verdict: "", side: "", words: [words] });

/** The words that are the instrument's own. */
interface Says {
  low: string;
  high: string;
  closeNext: string;
}

/** Whether a step has an answer for an outcome. */
export const has = (section: HTMLElement, outcome: string): boolean => !!one(`[data-outcome="${outcome}"]`, section);

/** What is left open of a value, as it is told. */
export const leftOpen = (doubt: number, symbol: string): string => `${format(guardFactor * doubt, 2)}\u00a0${symbol}`;

/** Holds a value against its limit; null: the models differ, undefined: there is none. */
export function judged(section: HTMLElement, limit: Limit | null | undefined, v: number, doubt: number, symbol: string, says: Says): Judged {
  if (!limit) return only(limit === null ? word.verdict.model : ofModel(word.verdict.noLimit));
  const side = judge(v, limit, doubt);
  const next = has(section, side);
  if (side === "within") return { verdict: side, side, words: [word.verdict.within, next ? word.verdict.withinNext : ""] };
  if (side === "close") return { verdict: side, side, words: [word.verdict.close, fill(says.closeNext, { bound: leftOpen(doubt, symbol) })] };
  return {
    verdict: "outside",
    side,
    words: [side === "low" ? says.low : says.high, next ? word.verdict.outsideNext : word.verdict.outsideOnly],
  };
}

/** Shows a verdict and the answer that follows from it; said is the value as the way so far has it. */
export function show(section: HTMLElement, judged: Judged, said: string): void {
  // Of a machine that the sheet does not hold for, nothing is judged.
  const { verdict, side, words } = judged.words[0] && one(".not-applicable:not([hidden])") ? only(ofModel(word.verdict.noLimit)) : judged;
  const output = one<HTMLOutputElement>("output[name=verdict]", section)!;
  section.dataset.verdict = output.dataset.verdict = verdict;
  section.dataset.side = side;
  output.hidden = !words[0];
  output.replaceChildren(make("b", words[0]), " ", words[1] ?? "");
  for (const a of all("[data-outcome]", section)) {
    a.toggleAttribute("data-follows", a.dataset.outcome === side);
    // An answer against the verdict is the technician's to give, and is kept as such.
    const against = side && side !== a.dataset.outcome ? ` (${words[0]})` : "";
    a.dataset.said = said && `${a.firstChild!.textContent!.trim()}: ${said}${against}`;
  }
}
