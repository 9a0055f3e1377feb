/** What was read, as a record has it: in the figures of the page's language. */

import { own } from "./dom";
import { inSigns } from "./number";
import type { Reading } from "./record";

/** A figure in the page's language. A sum of floats shows no more digits than were read. */
export const figure = (v: number): string => inSigns(Number(v.toPrecision(12)));

const measured = (v: number, unit: string): string => `${figure(v)}\u00a0${unit}`.trim();

export const quantity = (v: number, unit: string): string => own(measured(v, unit));

/** What was read: as it was typed, and the figure where that says more. */
export const asRead = (r: Reading): string => own(read(r));

function read({ text, value, unit }: Reading): string {
  const [, whole = "", part = "", rest] = /^([-−+]?\d*)[.,]?(\d*) ?([^\d., ].*|)$/.exec(text) ?? [];
  const typed = whole + (part && "." + part);
  const written = `${inSigns(typed)}\u00a0${rest || unit}`;
  if (typed && (rest || unit) === unit && Number(typed) === value) return written;
  // A mark before three digits may group a thousand.
  const said = !typed || (part.length === 3 && /[1-9]/.test(whole)) ? text : written;
  if (value === undefined) return said;
  const shown = measured(value, unit);
  if (/\d\s(h|min)\s\d/.test(text)) return text; // as a watch shows it
  return rest !== "" && said !== shown ? `${said} = ${shown}` : shown;
}
