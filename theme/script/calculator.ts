/** Calculators: the module in the page, run on every entry. */

import { complaint } from "./complaint";
import { data, type Calculator, type Input } from "./data";
import { all, make, one } from "./dom";
import { limitOf, onModel, presetLimit } from "./model";
import { format } from "./number";
import { fromSI, quantity } from "./unit";
import { judge } from "./verdict";

type Run = (...inputs: number[]) => number[];
type Form = HTMLFormElement;
type Field = HTMLInputElement & HTMLSelectElement;

const decimal = data.decimal ?? ".";
const field = (form: Form, name: string): Field | null => form.elements.namedItem(name) as Field | null;

/** The module's function. Compiled asynchronously: old browsers limit the other way to 4 KB. */
async function load(form: Form): Promise<Run> {
  const text = atob(one("script", form)!.textContent!);
  const { instance } = await WebAssembly.instantiate(Uint8Array.from(text, (c) => c.charCodeAt(0)));
  return instance.exports.run as Run;
}

/** Puts a message below a field, or takes it away. */
function mark(e: Field, message: string): void {
  const id = e.id + ".error";
  let p = document.getElementById(id);
  if (message && !p) {
    p = make("p");
    p.id = id;
    p.className = "error";
    e.closest(".field")!.append(p);
  }
  if (p) p.textContent = message;
  e.setAttribute("aria-invalid", String(!!message));
  if (message) e.setAttribute("aria-describedby", id);
  else e.removeAttribute("aria-describedby");
}

/** An input's value in SI, or null after saying what is wrong with it. */
function value(form: Form, input: Input): number | null {
  const e = field(form, input.name)!;
  if (!input.units) return e.selectedIndex;
  const own = input.units[field(form, input.name + ".unit")?.selectedIndex ?? 0]!;
  const text = e.value.trim();
  if (!text && input.optional) {
    mark(e, "");
    return NaN;
  }
  const read = quantity(text, own, input.units);
  let slip = typeof read === "string" ? read : "";
  // Written so that a value that is no number is out of range too.
  if (typeof read === "object" && !(read.si >= (input.min ?? 0) && read.si <= (input.max ?? 0))) slip = "range";
  const label = e.labels?.[0]?.firstChild?.textContent?.trim() ?? "";
  mark(e, slip && complaint(slip, label, input.range ?? "", input.units));
  return slip ? null : (read as { si: number }).si;
}

/** The verdict of a calculator's limits on its results: the worst of them. */
function verdict(c: Calculator, results: number[]): string {
  const order = ["within", "close", "", "outside"];
  let worst = 0;
  for (const [name, id] of c.limits!) {
    const spec = data.specs![id]!;
    const limit = presetLimit(spec);
    const si = results[c.results.findIndex((r) => r.name === name)] ?? NaN;
    const side = limit ? judge(fromSI(spec.units[0], si), limit, spec.meter) : "";
    worst = Math.max(worst, order.indexOf(side === "low" || side === "high" ? "outside" : side));
  }
  return order[worst]!;
}

function compute(form: Form, c: Calculator, run: Run): void {
  const inputs = c.inputs.map((i) => value(form, i));
  const known = inputs.every((v) => v !== null);
  const results = known ? run(...(inputs as number[])) : [];
  c.results.forEach((r, i) => {
    const output = one<HTMLOutputElement>(`output[name="${r.name}"]`, form)!;
    const v = results[i] ?? NaN;
    if (r.words) output.textContent = known ? (r.words[v] ?? "") : word.verdict.none;
    else output.textContent = format(fromSI(r.unit!, v), r.digits!, decimal);
    if (r.keys) output.dataset.verdict = (known && r.keys[v]) || "";
  });
  if (c.limits) {
    const output = one("output[name=verdict]", form)!;
    const v = known ? verdict(c, results) : "";
    output.dataset.verdict = v;
    output.textContent =
      { within: word.verdict.within, outside: word.verdict.outside, close: word.verdict.close }[v] ?? word.verdict.none;
  }
}

/** Presets from a specification follow the model, until the reader types over them. */
function follow(form: Form, c: Calculator): void {
  const known = c.limits?.every(([, id]) => limitOf(data.specs![id]!) !== null);
  for (const label of all(".results .for", form)) label.hidden = known !== false;
  for (const input of c.inputs) {
    const spec = input.spec && data.specs?.[input.spec];
    const e = field(form, input.name);
    if (!spec || !e || e.dataset.typed) continue;
    const figure = limitOf(spec)?.[input.within ? 3 : 2];
    // The page's own figure keeps the digits that its author typed.
    const own = figure == null || Number(e.defaultValue.replace(decimal, ".")) === figure;
    e.value = own ? e.defaultValue : String(figure).replace(".", decimal);
    // The figure is in the specification's unit, whatever the reader chose.
    const unit = field(form, input.name + ".unit");
    if (unit) unit.selectedIndex = [...unit.options].findIndex((o) => o.defaultSelected);
    for (const label of all(".for", e.closest(".field")!)) label.hidden = figure != null;
  }
}

async function start(form: Form, c: Calculator): Promise<void> {
  let run: Run;
  try {
    run = await load(form);
  } catch {
    form.prepend(make("p", word.calculator.failed));
    return;
  }
  one<HTMLFieldSetElement>("fieldset", form)!.disabled = false;
  // What is measured is entered; the sheet's example is no reading.
  for (const input of c.inputs) if (input.optional) field(form, input.name)!.value = "";
  form.addEventListener("submit", (e) => e.preventDefault());
  form.addEventListener("input", (e) => {
    const target = e.target as Field;
    target.dataset.typed = "yes";
    const unit = c.inputs.find((i) => i.name + ".unit" === target.name)?.units?.[target.selectedIndex];
    if (unit) field(form, target.name.slice(0, -5))!.inputMode = unit[1] ? "decimal" : "text";
    for (const { name, follows } of c.inputs) {
      if (!follows || (target.name !== follows && target.name !== follows + ".unit") || field(form, name)!.dataset.typed) continue;
      for (const part of ["", ".unit"]) field(form, name + part)!.value = field(form, follows + part)!.value;
    }
    compute(form, c, run);
  });
  onModel(() => {
    follow(form, c);
    compute(form, c, run);
  });
  follow(form, c);
  compute(form, c, run);
}

export function startCalculators(): void {
  for (const form of all<Form>("form.calculator")) {
    const c = data.calculators?.[form.id];
    if (c) void start(form, c);
  }
}
