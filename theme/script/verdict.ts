/** The decision rule of ISO 14253-1, as render/page and calc have it. */

import type { Limit } from "./data";

/** Turns a meter's bound a into the guard of a one-sided 95 % decision: 1.65 a/√3. */
export const guardFactor = 0.95;

/** What the conversion of units may cost a reading on a limit, in proportion. */
const slack = 1e-9;

export type Side = "within" | "low" | "high" | "close" | "";

/**
 * Judges a reading, in the unit of its limits: within or beyond a limit only
 * where the bound, a meter's or what several come to, leaves no doubt; "" for no number or no limit.
 */
export function judge(v: number, [min, max]: Limit, bound: number): Side {
  if (!isFinite(v) || (min === null && max === null)) return "";
  const low = min === null ? -Infinity : min - v;
  const high = max === null ? -Infinity : v - max;
  const beyond = Math.max(low, high);
  const spare = slack * Math.abs((high > low ? max : min) ?? 0);
  const guard = guardFactor * bound;
  if (beyond <= spare - guard) return "within";
  if (beyond <= spare + guard) return "close";
  return high > low ? "high" : "low";
}
