/** The fields of a calculator: what is entered, in which unit, and what is wrong with it. */

import { complaint } from "./complaint";
import { data, type Calculator, type Input, type Unit } from "./data";
import { all, fill, make, put } from "./dom";
import { limitOf } from "./model";
import { inSigns, overRange, read, typedIn } from "./number";
import { fromSI, gaugeName, gaugeWithin, quantity, toSI, type Quantity } from "./unit";

export type Form = HTMLFormElement;
export type Field = HTMLInputElement & HTMLSelectElement;

export const field = (form: Form, name: string): Field | null => form.elements.namedItem(name) as Field | null;

/** The unit that a field is in. */
export const unitOf = (form: Form, input: Input): Unit =>
  input.units![field(form, input.name + ".unit")?.selectedIndex ?? 0]!;

/** A figure in the page's language, never with a power of ten. */
export function shown(v: number): string {
  const [text, power] = String(v).split("e-");
  return inSigns(power ? v.toFixed(Number(power) + 3).replace(/0+$/, "") : text!);
}

/**
 * The range in the unit of a field: in the calculator's own as its author wrote
 * it, in another rounded to four digits, into the range, so that both ends are taken.
 */
function rangeIn(input: Input, unit: Unit): string {
  if (unit === input.units![0]) return input.range!;
  const [least, most] = [input.min ?? 0, input.max ?? 0];
  const end = (si: number, step: number): string => {
    const [digits, power] = fromSI(unit, si).toExponential(3).split("e") as [string, string];
    let n = Number(digits.replace(".", ""));
    const value = (): number => Number(`${n}e${Number(power) - 3}`);
    for (let tries = 0; tries < 2 && !inRange(input, toSI(unit, value())); tries++) n += step;
    return shown(value());
  };
  const [min, max] = unit[1] ? [end(least, 1), end(most, -1)] : gaugeWithin(least, most);
  return fill(word.limit.range, { min, max: `${max}\u00a0${unit[0]}` });
}

/** A label's own words, without the symbol and the model that stand in it. */
export const labelOf = (e: Field): string => e.labels![0]!.firstChild!.textContent!.trim();

/** Puts a message below a field, or takes it away. A screen reader reads out what is new in it. */
export function mark(form: Form, input: Input, slip: string): void {
  const e = field(form, input.name)!;
  if (!slip && e.getAttribute("aria-invalid") !== "true") return;
  const message = slip && complaint(slip, labelOf(e), rangeIn(input, unitOf(form, input)), input.units!);
  const id = e.id + ".error";
  let p = document.getElementById(id);
  if (message && !p) {
    p = make("p");
    p.id = id;
    p.className = "error";
    p.setAttribute("role", "status");
    e.setAttribute("aria-describedby", id);
    e.closest(".field")!.append(p);
  }
  put(p!, message);
  e.setAttribute("aria-invalid", String(!!message));
}

/** What the conversion of units may cost a value at the end of its range, in proportion. */
const slack = 1e-12;

/** Written so that a value that is no number is out of range too. */
export const inRange = (input: Input, si: number): boolean => {
  const [least, most] = [input.min ?? 0, input.max ?? 0];
  return si >= least - slack * Math.abs(least) && si <= most + slack * Math.abs(most);
};

/** What is entered, in SI, and half the worth of its last digit. */
export type Entry = Pick<Quantity, "si" | "half"> & Partial<Quantity>;

/** What is entered; NaN for what may be left empty, null after saying what is wrong with it. */
export function entered(form: Form, input: Input): Entry | null {
  const e = field(form, input.name)!;
  if (!input.units) return { si: e.selectedIndex, half: 0 };
  const text = typedIn(e);
  if (!text && input.optional) {
    mark(form, input, "");
    return { si: NaN, half: 0 };
  }
  const found = quantity(text, unitOf(form, input), input.units);
  const slip = overRange.test(text) ? "open" : typeof found === "string" ? found : inRange(input, found.si) ? "" : "range";
  mark(form, input, slip);
  return slip ? null : (found as Quantity);
}

/** Writes a value into a field, as many digits as a technician would type: four, or as many as keep it in the range. */
export function write(form: Form, input: Input, si: number): void {
  const unit = unitOf(form, input);
  let text = gaugeName(si);
  if (unit[1]) {
    const v = fromSI(unit, si);
    let digits = 4;
    let figure = Number(v.toPrecision(digits));
    while (digits++ < 9 && inRange(input, si) && !inRange(input, toSI(unit, figure))) figure = Number(v.toPrecision(digits));
    text = isFinite(v) ? shown(figure) : "";
  }
  const e = field(form, input.name)!;
  if (e.value !== text) e.value = text;
}

/** Shows a unit in a choice, or the one that it shows, and keeps which: to know after a change what it was before. */
export function keepUnit(choice: Field, index = choice.selectedIndex): void {
  choice.selectedIndex = index;
  choice.dataset.was = String(index);
}

const defaultUnit = (choice: Field): number => [...choice.options].findIndex((o) => o.defaultSelected);

export const unitBefore = (choice: Field): number => Number(choice.dataset.was ?? defaultUnit(choice));

/** Sets a field's unit; what stands there is converted, where it has no unit of its own. */
export function setUnit(form: Form, input: Input, index: number, from = unitOf(form, input)): void {
  const to = input.units![index];
  const select = field(form, input.name + ".unit");
  const e = field(form, input.name)!;
  if (!to || !select) return;
  const text = typedIn(e);
  const bare = /\d$/.test(text);
  const found = bare && quantity(text, from, input.units!);
  const kept = to[1] || (typeof found === "object" && gaugeName(found.si));
  if (!kept && bare) return; // no size of the gauge is near
  keepUnit(select, index);
  e.inputMode = to[1] && !to[2] ? "decimal" : "text";
  if (typeof found === "object") write(form, input, found.si);
}

/** Presets from a specification follow the model, until the reader types over them. */
export function follow(form: Form, c: Calculator): void {
  for (const input of c.inputs) {
    const spec = input.spec && data.specs?.[input.spec];
    const e = field(form, input.name);
    if (!spec || !e || e.dataset.typed) continue;
    const figure = limitOf(spec)?.[input.within ? 3 : 2];
    // The page's own figure keeps the digits that its author typed.
    const own = figure == null || read(e.defaultValue)[0] === figure;
    e.value = own ? e.defaultValue : inSigns(figure);
    // The figure is in the specification's unit, whatever the reader chose.
    const unit = field(form, input.name + ".unit");
    if (unit) keepUnit(unit, defaultUnit(unit));
    for (const label of all(".for", e.closest(".field")!)) label.hidden = figure != null;
  }
}
