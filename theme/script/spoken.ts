/** The words of a reading in a record, as they are shown, copied and printed. */

import { data } from "./data";
import { fill, own } from "./dom";
import type { Entry, Reading } from "./record";

const decimal = data.decimal ?? ".";

/** A figure in the page's language. A sum of floats shows no more digits than were read. */
export const figure = (v: number): string => String(Number(v.toPrecision(12))).replace(".", decimal).replace("-", "−");

const measured = (v: number, unit: string): string => `${figure(v)}\u00a0${unit}`.trim();

export const quantity = (v: number, unit: string): string => own(measured(v, unit));

/** What was read: as it was typed, and the figure where that says more. */
export const asRead = (r: Reading): string => own(read(r));

function read({ text, value, unit }: Reading): string {
  if (value === undefined) return text;
  const bare = /^[-−+]?[\d.,]+$/.test(text) && Number(text.replace(",", ".").replace("−", "-")) === value;
  if (bare) return `${text.replace(/[.,]/, decimal)}\u00a0${unit}`;
  const shown = measured(value, unit);
  if (/\d\s(h|min)\s\d/.test(text)) return text; // as a watch shows it
  return text && !/^[-−+]?[\d., ]+$/.test(text) && text.replace(" ", "\u00a0") !== shown ? `${text} = ${shown}` : shown;
}

/** The limits that it was held against, both with as many decimals as either has; "" for none. */
export function limit({ min, max, unit }: Reading): string {
  const places = Math.max(...[min, max].map((v) => String(v ?? 0).split(".")[1]?.length ?? 0));
  const [least, most] = [min, max].map((v) => v?.toFixed(places).replace(".", decimal).replace("-", "−")) as [string?, string?];
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
  const meaning = [r.verdict && verdictOf(r.verdict, e)[1], bounds && `${word.reading.limit} ${bounds}`].filter(Boolean).join(", ");
  return meaning ? `${asRead(r)} (${meaning})` : asRead(r);
}

/** What was read or seen in a step, where it proves nothing. */
export const unprovedBy = (e: Entry): string =>
  `${e.number} · ${e.reading ? `${e.reading.measure || e.reading.spec}: ${inShort(e)}` : `${e.title || e.step}: ${e.outcome ? word.job.noFigure : e.said}`}`;
