/** Calculators in their chains, and what the meters' accuracies leave open of a result. */

import { limitOf } from "./model";
import { data, type Calculator } from "./data";
import { inRange, type Entry, type Field, type Form } from "./form";
import { fromSI } from "./unit";
import { judge } from "./verdict";

export type Run = (...inputs: number[]) => number[];

/** A calculator that runs. */
export interface Live {
  form: Form;
  c: Calculator;
  run: Run;
  /** The field of each input. */
  fields: Field[];
  /** Where each result stands. */
  outputs: HTMLElement[];
  /** What is entered: null where it cannot be read, undefined where it comes from another calculator or input. */
  base: (Entry | null | undefined)[];
}

/** The calculators of the page, by the id of their form. */
export const lives = new Map<string, Live>();

/** One input moved by so much, to see what follows from it. */
export interface Shift {
  live: Live;
  input: number;
  by: number;
}

/** Results that are computed already, so that a chain with many ways is gone once. */
export type Known = Map<Live, number[] | null>;

/** The values of a calculator's inputs, those of other calculators' results included. */
export function inputs(live: Live, shift?: Shift, known: Known = new Map()): (number | null)[] {
  const values: (number | null)[] = [];
  live.c.inputs.forEach((input, i) => {
    const entry = live.base[i];
    let v = entry && entry.si;
    if (v === undefined) {
      const from = input.from && lives.get(input.from[0]);
      v = from ? (results(from, shift, known)?.[input.from![1]] ?? null) : (values[input.follows!] ?? null);
    } else if (shift?.live === live && v !== null && shift.input === i) v += shift.by;
    values.push(v);
  });
  return values;
}

/**
 * Whether an input has a value. What comes from another calculator must lie in
 * the range too, as what is entered does; a shift may lead out of it.
 */
export const usable = (live: Live, v: number | null, i: number, shift?: Shift): boolean =>
  v !== null && (live.base[i] !== undefined || (shift ? v === v : inRange(live.c.inputs[i]!, v)));

/** The results, in SI; null where an input has no value. */
export function results(live: Live, shift?: Shift, known: Known = new Map()): number[] | null {
  let out = known.get(live);
  if (out !== undefined) return out;
  out = null;
  const values = inputs(live, shift, known);
  try {
    if (values.every((v, i) => usable(live, v, i, shift))) out = live.run(...(values as number[]));
  } catch {
    // A loop that ran on, or a division of whole numbers by 0.
  }
  known.set(live, out);
  return out;
}

/** A calculator and those that it takes results from, each once. */
export function upstream(live: Live, list: Live[] = []): Live[] {
  if (list.includes(live)) return list;
  list.push(live);
  live.c.inputs.forEach((input, i) => {
    const from = live.base[i] === undefined && input.from && lives.get(input.from[0]);
    if (from) upstream(from, list);
  });
  return list;
}

/** How far a result moves with the inputs that it rests on, and which of them moves it most. */
export interface Spread {
  by: number;
  of?: Live;
  input: number;
}

/**
 * Moves every input that a calculator's results rest on by its width to both
 * sides, takes half the difference of the results as its part, and combines the
 * parts as the root of the sum of squares, as the build does: first-order
 * propagation of independent inputs (JCGM 100, 5.1.2 and 5.1.3).
 */
export function spread(live: Live, width: (one: Live, input: number, entry: Entry) => number): Spread[] {
  const spreads: Spread[] = live.c.results.map(() => ({ by: 0, input: 0 }));
  const most = spreads.map(() => 0);
  for (const one of upstream(live)) {
    one.base.forEach((entry, i) => {
      const by = entry && one.c.inputs[i]!.units ? width(one, i, entry) : 0;
      if (!(by > 0)) return;
      const up = results(live, { live: one, input: i, by });
      const down = results(live, { live: one, input: i, by: -by });
      spreads.forEach((s, r) => {
        const half = Math.abs(up?.[r]! - down?.[r]!) / 2;
        const part = half === half ? half : Infinity;
        s.by += part * part;
        if (part <= most[r]!) return;
        most[r] = part;
        s.of = one;
        s.input = i;
      });
    });
  }
  for (const s of spreads) s.by = Math.sqrt(s.by);
  return spreads;
}

/** What the meters' accuracies leave open of the results: as a meter's bound of its reading. */
function doubt(live: Live): Spread[] {
  const spreads = spread(live, (one, i, { si }) => {
    const input = one.c.inputs[i]!;
    if (!input.meter) return 0;
    const unit = input.units![0];
    return ((input.meter[0] * Math.abs(fromSI(unit, si)) + input.meter[1]) * unit[1]) / Math.sqrt(3);
  });
  for (const s of spreads) s.by *= Math.sqrt(3);
  return spreads;
}

/** The verdict of a calculator's limits on its results: the worst of them. */
export function verdict(live: Live, out: number[]): { verdict: string; doubt: Spread | null; spec: string } {
  const order = ["within", "close", "", "outside"];
  let worst = { verdict: "within", doubt: null as Spread | null, spec: "" };
  const doubts = doubt(live);
  for (const [name, id] of live.c.limits!) {
    const spec = data.specs![id]!;
    const unit = spec.units[0];
    const limit = limitOf(spec);
    const i = live.c.results.findIndex((r) => r.name === name);
    const d = doubts[i]!;
    const side = limit ? judge(fromSI(unit, out[i] ?? NaN), limit, d.by / unit[1]) : "";
    const verdict = side === "low" || side === "high" ? "outside" : side;
    if (order.indexOf(verdict) >= order.indexOf(worst.verdict)) worst = { verdict, doubt: d, spec: id };
  }
  return worst;
}
