/** Numbers as the build prints them and as a reader writes them. */

/**
 * Prints v with significant digits, trailing zeros kept: the text that calc/unit
 * gives, by the algorithm that its Format states.
 */
export function format(v: number, digits: number, decimal = "."): string {
  if (v !== v) return "–";
  if (v === Infinity) return "∞";
  if (v === -Infinity) return "-∞";
  const text = (v || 0).toPrecision(digits);
  return (/e\+/.test(text) && Math.abs(v) < 1e9 ? String(Number(text)) : text).replace(".", decimal);
}

/** What a meter shows over its range, as where there is no circuit. */
export const overRange = /^[o0]\.?l\.?$/i;

/** Why a text is no number: the name of a message. */
export type Slip = "number" | "ambiguous";

/**
 * Reads the number that a text begins with; what follows it is returned too.
 * Thousands may be grouped by spaces or by the mark that is not the decimal
 * sign. A lone mark of that kind is a decimal sign if it cannot group a
 * thousand; a lone point that could is refused where the comma is decimal.
 * place is the worth of the last digit; 0 for a whole number, which is counted
 * or nominal, not rounded.
 */
export function read(text: string, decimal = "."): [value: number, rest: string, place: number] | Slip {
  const [, sign, digits, exponent, rest] = /^([-−+]?) *((?:[\d.,]| (?=\d)(?!1\/))*)(e[-+]?\d+)?(.*)$/is.exec(text)!;
  let [whole, fraction, ...more] = digits!.split(decimal);
  if (more.length) return "number";
  let group = decimal === "," ? "." : ",";
  if (fraction === undefined && /^\d*[.,]\d*$/.test(digits!)) {
    if (!/^[1-9]\d{0,2}[.,]\d{3}$/.test(digits!)) [whole, fraction] = digits!.split(group);
    else if (decimal === ",") return "ambiguous";
  }
  if (!whole!.includes(group)) group = " ";
  const groups = whole!.split(group);
  const plain = groups.join("") + "." + (fraction ?? "");
  if (
    !/^(\d+\.\d*|\.\d+)$/.test(plain) ||
    groups.some((g, i) => (i ? g.length !== 3 : groups.length > 1 && (!g || g.length > 3)))
  )
    return "number";
  const place = fraction ? Number(`1e${Number(exponent?.slice(1) ?? 0) - fraction.length}`) : 0;
  return [Number((sign && sign !== "+" ? "-" : "") + plain + (exponent ?? "")), rest!.trim(), place];
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
