/** What was read, as a record has it: in the figures of the page's language. */

import { data } from "./data";
import { own } from "./dom";
import type { Reading } from "./record";

export const decimal = data.decimal ?? ".";

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
