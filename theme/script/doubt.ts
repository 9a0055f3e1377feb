/** Calculators in their chains, and what the meters' accuracies leave open of a result. */

import { presetLimit } from "./model";
import { data, type Calculator } from "./data";
import { field, type Form } from "./form";
import { fromSI } from "./unit";
import { judge } from "./verdict";

export type Run = (...inputs: number[]) => number[];

/** A calculator that runs. */
export interface Live {
  form: Form;
  c: Calculator;
  run: Run;
  /** What is entered, in SI: null where it cannot be read, undefined where it comes from another calculator. */
  base: (number | null | undefined)[];
}

/** The calculators of the page, by the id of their form. */
export const lives = new Map<string, Live>();

/** One input moved by so much, to see what follows from it. */
export interface Shift {
  live: Live;
  input: number;
  by: number;
}

/** The values of a calculator's inputs, those of other calculators' results included. */
export function inputs(live: Live, shift?: Shift): (number | null)[] {
  const values: (number | null)[] = [];
  live.c.inputs.forEach((input, i) => {
    let v = live.base[i];
    if (v === undefined) {
      const from = lives.get(input.from![0]);
      v = from ? (results(from, shift)?.[input.from![1]] ?? null) : null;
    }
    const followed = input.follows && !field(live.form, input.name)!.dataset.typed;
    if (shift && followed) v = values[live.c.inputs.findIndex((other) => other.name === input.follows)]!;
    if (shift?.live === live && shift.input === i && v !== null) v += shift.by;
    values.push(v);
  });
  return values;
}

/** The results, in SI; null where an input is missing. */
export function results(live: Live, shift?: Shift): number[] | null {
  const values = inputs(live, shift);
  if (values.includes(null)) return null;
  try {
    return live.run(...(values as number[]));
  } catch {
    return null; // a loop that ran on, or a division of whole numbers by 0
  }
}

/** A calculator and those that it takes results from, each once. */
function upstream(live: Live, list: Live[] = []): Live[] {
  if (list.includes(live)) return list;
  list.push(live);
  live.c.inputs.forEach((input, i) => {
    const from = live.base[i] === undefined && lives.get(input.from![0]);
    if (from) upstream(from, list);
  });
  return list;
}

/** Like a meter's bound, but of a result, and the reading that most of it comes from. */
export interface Doubt {
  bound: number;
  of?: Live;
  input: number;
}

/**
 * Combines the accuracies of all readings that go into a result by first-order
 * propagation, as the build does (JCGM 100, 5.1.2 and 5.1.3): standard
 * uncertainty bound/√3, independent readings.
 */
export function doubt(live: Live, result: number): Doubt {
  const d: Doubt = { bound: 0, input: 0 };
  let sum = 0;
  let most = 0;
  for (const one of upstream(live)) {
    one.c.inputs.forEach((input, i) => {
      const v = one.base[i];
      const read = !input.spec || field(one.form, input.name)!.dataset.typed;
      if (!input.meter || !read || v == null || v !== v) return;
      const unit = input.units![0];
      const u = ((input.meter[0] * Math.abs(fromSI(unit, v)) + input.meter[1]) * unit[1]) / Math.sqrt(3);
      const up = results(live, { live: one, input: i, by: u })?.[result] ?? NaN;
      const down = results(live, { live: one, input: i, by: -u })?.[result] ?? NaN;
      const half = Math.abs(up - down) / 2;
      const part = half === half ? half : Infinity;
      sum += part * part;
      if (part > most) {
        most = part;
        d.of = one;
        d.input = i;
      }
    });
  }
  d.bound = Math.sqrt(3 * sum);
  return d;
}

/** The verdict of a calculator's limits on its results: the worst of them. */
export function verdict(live: Live, out: number[]): { verdict: string; doubt: Doubt | null; spec: string } {
  const order = ["within", "close", "", "outside"];
  let worst = { verdict: "within", doubt: null as Doubt | null, spec: "" };
  for (const [name, id] of live.c.limits!) {
    const spec = data.specs![id]!;
    const unit = spec.units[0];
    const limit = presetLimit(spec);
    const i = live.c.results.findIndex((r) => r.name === name);
    const d = doubt(live, i);
    const side = limit ? judge(fromSI(unit, out[i] ?? NaN), limit, d.bound / unit[1]) : "";
    const verdict = side === "low" || side === "high" ? "outside" : side;
    if (order.indexOf(verdict) >= order.indexOf(worst.verdict)) worst = { verdict, doubt: d, spec: id };
  }
  return worst;
}
