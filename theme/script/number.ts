/** Numbers as the build prints them and as a reader writes them. */

import { data } from "./data";
import { western } from "./figures";

const decimal = data.decimal ?? ".";

/** A figure in the signs of the page's language. */
export const inSigns = (figure: number | string): string => String(figure).replace(".", decimal).replace("-", "−");

/**
 * What is typed in a field. Figures and marks of Arabic and of Persian are as good as others:
 * calc/unit takes them too.
 */
export const typedIn = (e: HTMLInputElement): string =>
  western(e.value)
    .trim()
    .replace(/[\s٫٬،]/g, (c) => (c === "٫" ? decimal : c === "،" ? "," : " "));

/**
 * Prints v with significant digits, trailing zeros kept: the text that calc/unit's FormatIn
 * gives, by the algorithm that its Format states.
 */
export function format(v: number, digits: number): string {
  if (v !== v) return "–";
  const size = Math.abs(v);
  const text = size.toPrecision(digits);
  return (v < 0 ? "−" : "") + (size === Infinity ? "∞" : (/e\+/.test(text) && size < 1e9 ? String(Number(text)) : text).replace(".", decimal));
}

/** What a meter shows over its range, as where there is no circuit, and what is written for that. */
export const overRange = /^([o0]\.?l\.?|∞|open)$/i;

/** Why a text is no number: the name of a message. */
export type Slip = "number" | "ambiguous";

/**
 * Reads the number that a text begins with; what follows it is returned too.
 * Thousands may be grouped by spaces or by the mark that is not the decimal
 * sign. A lone mark of that kind is a decimal sign if it cannot group a
 * thousand; a lone point that could is refused where the comma is decimal.
 * place is the worth of the last digit; 0 for a whole number, which is counted
 * or nominal, not rounded. written is the number with the digits that were typed.
 */
export function read(text: string): [value: number, rest: string, place: number, written: string] | Slip {
  const [, sign, digits, exponent, rest] = /^([-−+]?) *((?:[\d.,]| (?=\d)(?!1\/))*)(e[-+]?\d+)?(.*)$/is.exec(text)!;
  let [whole, ...more] = digits!.split(decimal);
  if (!more.length && /^\d*[.,]\d*$/.test(digits!)) {
    if (!/^[1-9]\d{0,2}[.,]\d{3}$/.test(digits!)) [whole, ...more] = digits!.split(/[.,]/);
    else if (decimal === ",") return "ambiguous";
  }
  const fraction = more.join("_");
  if (!/^(\d*|\d{1,3}([ .,])\d{3}(\2\d{3})*)_\d*$/.test(`${whole}_${fraction}`) || !/\d/.test(digits!)) return "number";
  const place = fraction ? Number(`1e${Number(exponent?.slice(1) ?? 0) - fraction.length}`) : 0;
  const written = (/[-−]/.test(sign!) ? "-" : "") + whole!.replace(/\D/g, "") + (fraction && "." + fraction) + (exponent ?? "");
  return [Number(written), rest!.trim(), place, inSigns(written)];
}

/** The exponent of the first digit, by the shortest text in scientific notation. */
const decimalExponent = (v: number): number => (isFinite(v) ? Number(v.toExponential().split("e")[1]) : 400);

/**
 * With how many digits to print a result that moves by spread when its inputs
 * move by half their last places. As calc/unit's ResultDigits.
 */
export function resultDigits(v: number, spread: number, most: number): number {
  if (!v || !isFinite(v) || !(spread > 0)) return most;
  const place = decimalExponent(2 * spread * (1 + 1e-9));
  return Math.min(most, Math.max(2, decimalExponent(v) - place + 1));
}
