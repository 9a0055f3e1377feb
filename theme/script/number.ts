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

/** Why a text is no number: the name of a message. */
export type Slip = "number" | "ambiguous";

/**
 * Reads the number that a text begins with; what follows it is returned too.
 * Thousands may be grouped by spaces or by the mark that is not the decimal
 * sign. A lone mark of that kind is a decimal sign if it cannot group a
 * thousand; a lone point that could is refused where the comma is decimal.
 */
export function read(text: string, decimal = "."): [value: number, rest: string] | Slip {
  const [, sign, digits, exponent, rest] = /^([-−+]?) *((?:[\d.,]| (?=\d))*)(e[-+]?\d+)?(.*)$/is.exec(text)!;
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
  return [Number((sign && sign !== "+" ? "-" : "") + plain + (exponent ?? "")), rest!.trim()];
}

/**
 * How many significant digits a typed number carries, by the rule of calc/unit's
 * Digits; 0 where there is none.
 */
export function digits(text: string): number {
  const number = /[.,]?\d(?:[\d.,]| (?=\d)(?!1\/))*/.exec(text.replace(/[\u00a0\u202f\u2009]/g, " "))?.[0];
  if (!number) return 0;
  const count = number.replace(/\D/g, "").replace(/^0+/, "").length;
  return Math.max(/^[.,]|[.,]./.test(number) ? 1 : 3, count);
}

/** How many digits of a result to print: as calc/unit's ResultDigits. */
export const resultDigits = (inputs: number[], most: number): number =>
  Math.min(most, Math.max(3, Math.min(most, ...inputs.filter((n) => n > 0))));
