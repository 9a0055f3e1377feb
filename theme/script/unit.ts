/** Quantities: a number with or without its unit, to SI and back. */

import { data, type Unit } from "./data";
import { read, type Slip } from "./number";

export const toSI = ([, factor, offset]: Unit, v: number): number => (v + offset) * factor;
export const fromSI = ([, factor, offset]: Unit, si: number): number => si / factor - offset;

/** A unit without what keyboards and fonts put in different ways. */
const bare = (symbol: string): string =>
  symbol
    .replace(/^M(?=[ΩVAWo])/, "mega") // a million is no thousandth
    .replace(/[°º˚]|deg/gi, "")
    .normalize("NFKC")
    .toLowerCase()
    .replace(/[ *.·⋅^-]/g, "")
    .replace(/ohms?/, "ω")
    .replace(/^u(?=[ωvafm])/, "μ")
    .replace(/^(v)olts?$|^(a)mp(?:ere)?s?$|^(w)atts?$|^(s)ec(?:ond)?s?$|^(min)utes?$/, "$1$2$3$4$5")
    .replace(/^(?:1\/min|r(?:ev)?\/min|min−?1)$/, "rpm")
    .replace(/^(?:(ft|in)lbf?|lb(ft|in))$/, "lbf$1$2");

/** The area of a size of the wire gauge, if it is one. */
function gauge(name: string): number | undefined {
  if (/^0{1,4}$/.test(name)) name = name.length + "/0";
  const sizes = data.sizes ?? [];
  const i = sizes.indexOf(name);
  return i < 0 ? undefined : (sizes[i + 1] as number);
}

/** The name of the size whose area is nearest in proportion, "" outside the gauge. */
export function gaugeName(area: number): string {
  const sizes = data.sizes ?? [];
  const area_ = (i: number): number => sizes[i + 1] as number;
  const last = sizes.length - 2;
  const step = 1.1229322;
  if (!(area <= area_(0) * step && area >= area_(last) / step)) return "";
  for (let i = 0; i < last; i += 2) if (area * area >= area_(i) * area_(i + 2)) return sizes[i] as string;
  return sizes[last] as string;
}

/** The names of the thinnest and the thickest size between two areas. */
export function gaugeWithin(least: number, most: number): [thinnest: string, thickest: string] {
  const sizes = data.sizes ?? [];
  const names = sizes.filter((_, i) => i % 2 === 0 && (sizes[i + 1] as number) >= least && (sizes[i + 1] as number) <= most);
  return [String(names[names.length - 1]), String(names[0])];
}

/** A quantity in SI, the unit it was written in, half the worth of its last digit, in SI, and how the page writes what was typed. */
export interface Quantity {
  si: number;
  unit: Unit;
  half: number;
  said: string;
}

/**
 * Reads a quantity such as "2.4", "2,4 A", "16 AWG" or "70 °F". Without a unit
 * the number counts in the one given, which is among the units of the field.
 */
export function quantity(text: string, own: Unit, units: Unit[]): Quantity | Slip | "unit" | "size" {
  const size = /^(awg|#)? *(\d+(?:\/0)?) *(awg|ga\.?|gauge)?$/i.exec(text);
  if (size && (size[1] || size[3] || !own[1] || size[2]!.includes("/"))) {
    const unit = units.find((u) => !u[1]);
    if (!unit) return "unit";
    const si = gauge(size[2]!);
    return si === undefined ? "size" : { si, unit, half: 0, said: text };
  }
  const number = read(text);
  if (typeof number === "string") return number;
  const [v, rest, place, written] = number;
  // A meter of ohms shows 9.40k.
  const unit = rest ? units.find((u) => bare(u[0]) === bare(rest) || u[0] === rest + "Ω") : own;
  if (!unit) return "unit";
  if (!unit[1]) return "size";
  const si = toSI(unit, v);
  return isFinite(si) ? { si, unit, half: (place * unit[1]) / 2, said: `${written} ${unit[0]}` } : "number";
}
