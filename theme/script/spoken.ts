/** The words of a reading in a record, as they are shown, copied and printed. */

import { asRead } from "./asread";
import { fill } from "./dom";
import { inSigns } from "./number";
import type { Entry, Reading } from "./record";

/** The limits that it was held against, both with as many decimals as either has; "" for none. */
export function limit({ min, max, unit }: Pick<Reading, "min" | "max" | "unit">): string {
  const places = Math.max(...[min, max].map((v) => String(v ?? 0).split(".")[1]?.length ?? 0));
  const [least, most] = [min, max].map((v) => v === undefined ? v : inSigns(v.toFixed(places))) as [string?, string?];
  if (most !== undefined) return fill(least === undefined ? word.limit.max : word.limit.range, { min: least ?? "", max: `${most}\u00a0${unit}` });
  return least === undefined ? "" : fill(word.limit.min, { min: `${least}\u00a0${unit}` });
}

/** What was taken in a step; by a watch where it has a timing. */
type Taken = Pick<Entry, "reading" | "timing">;

const verdicts = {
  within: ["within", word.verdict.within],
  low: ["outside", word.verdict.low],
  high: ["outside", word.verdict.high],
  close: ["close", word.verdict.close],
  none: ["outside", word.verdict.nothing],
} as const;

/** Of a time that is neither low nor high. */
const timed: { [verdict: string]: readonly ["outside", string] } = {
  low: ["outside", word.timing.soon],
  high: ["outside", word.timing.late],
};

/** A verdict's shape and words, as the card had them. */
export const verdictOf = (side: keyof typeof verdicts, { timing }: Taken): readonly ["within" | "outside" | "close", string] =>
  (timing && timed[side]) || verdicts[side];

/** A reading in one line: the figure, what it means, and its limits. */
export function inShort(e: Taken): string {
  const r = e.reading!;
  const bounds = limit(r);
  const meaning = [r.verdict && verdictOf(r.verdict, e)[1], bounds && `${word.reading.limit} ${bounds}`].filter(Boolean).join(word.list.comma);
  return meaning ? `${asRead(r)} (${meaning})` : asRead(r);
}

/** What was read or seen in a step, where it proves nothing. */
export const unprovedBy = (e: Entry): string =>
  `${e.number} · ${e.reading ? `${e.reading.measure || e.reading.spec}: ${inShort(e)}` : `${e.title || e.step}: ${e.outcome ? word.job.noFigure : e.said}`}`;
