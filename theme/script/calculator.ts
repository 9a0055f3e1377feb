/** Calculators: the modules in the page, run on every entry. */

import { jobAtHand, keyOf, onJob } from "./athand";
import { data, unitFor, type Calculator, type Spec } from "./data";
import { inputs, lives, results, spread, upstream, verdict, type Known, type Live, type Run } from "./doubt";
import { all, fill, make, one, put } from "./dom";
import { entered, field, follow, inRange, keepUnit, labelOf, mark, setUnit, shown, unitBefore, unitOf, write, type Field, type Form } from "./form";
import { leftOpen } from "./judged";
import { limitOf, onModel } from "./model";
import { format, resultDigits } from "./number";
import type { Readings } from "./plot";
import { painted } from "./painted";
import { recall, remember } from "./store";
import { choose, isChosen, system } from "./system";
import { fromSI, gaugeName, toSI } from "./unit";

/** The module's function. Compiled asynchronously: old browsers limit the other way to 4 KB. */
async function load(form: Form): Promise<Run> {
  const bytes = one("script", form)!.textContent!.match(/../g)!;
  const { instance } = await WebAssembly.instantiate(Uint8Array.from(bytes, (byte) => Number("0x" + byte)));
  const run = instance.exports.run as (...inputs: number[]) => number | number[];
  return (...inputs) => [run(...inputs)].flat(); // one result comes as a number
}

/** Shows what chained fields take, and where it cannot be taken. */
function showChained(live: Live, known: Known): void {
  const values = inputs(live, undefined, known);
  live.c.inputs.forEach((input, i) => {
    const v = values[i]!;
    if (live.base[i] !== undefined) return;
    const none = v === null || v !== v;
    if (none) live.fields[i]!.value = "";
    else write(live.form, input, v);
    mark(live.form, input, none || inRange(input, v) ? "" : "range");
  });
}

/** Whether a field should be read on an instrument, and holds the sheet's example. */
const unread = (live: Live, i: number): boolean => {
  const input = live.c.inputs[i]!;
  return !!input.meter && !input.optional && live.base[i] !== undefined && !live.fields[i]!.dataset.typed;
};

/** Whether it depends on a serial number that is not known what the limits are. */
const numberMissing = (spec: Spec): boolean => !limitOf(spec) && Object.values(spec.limits).includes(null);

/** No verdict is given on an example, nor on the figures of another model. */
function readings(live: Live): Readings {
  const differs = (spec: string): boolean => limitOf(data.specs![spec]!) === null;
  const found: Readings = { read: [], missing: [], model: !!live.c.limits?.some(([, spec]) => differs(spec)) };
  for (const one of upstream(live)) {
    one.c.inputs.forEach((input, i) => {
      const typed = one.fields[i]!.dataset.typed;
      if (!typed && input.spec && differs(input.spec)) found.model = true;
      if (unread(one, i)) found.missing.push([one, i]);
      else if (input.meter && typed) found.read.push([one, i]);
    });
  }
  return found;
}

function showVerdict(live: Live, out: number[] | null): void {
  const output = one("output[name=verdict]", live.form)!;
  const { read, missing, model } = readings(live);
  const judged = out && !missing.length && !model ? verdict(live, out) : null;
  const v = judged?.verdict ?? "";
  output.dataset.verdict = v;
  put(
    output,
    { within: word.verdict.within, outside: word.verdict.outside, close: word.verdict.close }[v] ?? word.verdict.none,
  );
  let text = "";
  if (out && missing.length) text = fill(word.verdict.enter, { input: missing.map(([one, i]) => labelOf(one.fields[i]!)).join(word.list.comma) });
  else if (out && model) text = word.verdict.model;
  if (read.length) text = { within: word.verdict.verifies, outside: word.verdict.condemns }[v] ?? text;
  const d = judged?.doubt;
  if (v === "close" && d?.of) {
    const [symbol, factor] = data.specs![judged!.spec]!.units[0];
    const bound = leftOpen(d.by / factor, symbol);
    text = fill(isFinite(d.by) ? word.verdict.doubt : word.verdict.noResult, { bound, input: labelOf(d.of.fields[d.input]!) });
  }
  put(one(".next", output.parentElement!)!, text);
}

/** A limit that is stated in another unit than its result is shown in, in that one too. */
function showLimits({ form, c }: Live): void {
  all("[data-limit] dd", form).forEach((dd, i) => {
    const [name, id] = c.limits![i]!;
    const spec = data.specs![id]!;
    const unit = unitFor(c.results.find((r) => r.name === name)!.units!, system());
    const figure = (v: number | null): string => (v === null ? "" : shown(Number(fromSI(unit, toSI(spec.units[0], v)).toPrecision(4))));
    const [least, most] = (unit[0] !== spec.units[0][0] && unit[1] && limitOf(spec)) || [null, null];
    const [min, max] = [figure(least), figure(most)];
    const text = min && max ? word.limit.range : min ? word.limit.min : max ? word.limit.max : "";
    const e = one(".converted", dd) ?? dd.insertBefore(make("span"), dd.firstChild);
    e.className = "converted";
    put(e, text && `${fill(text, { min: max ? min : `${min}\u00a0${unit[0]}`, max: `${max}\u00a0${unit[0]}` })} = `);
  });
}

function show(live: Live, known: Known): void {
  const { c } = live;
  showChained(live, known);
  const out = results(live, undefined, known);
  const spreads = out ? spread(live, (_one, _input, entry) => entry.half) : [];
  live.fields.forEach((e, i) => e.toggleAttribute("data-unread", unread(live, i)));
  // What is preset of a model whose value depends on the serial number is no more than an example.
  const unknown = !!out && upstream(live).some((one) => one.c.inputs.some(({ spec }, i) => spec && !one.fields[i]!.dataset.typed && numberMissing(data.specs![spec]!)));
  c.results.forEach((r, i) => {
    const output = live.outputs[i]!;
    const v = r.keys && unknown ? NaN : (out?.[i] ?? NaN);
    if (r.keys && unknown) put(output, word.verdict.model);
    else if (r.words) put(output, out ? (r.words[v] ?? "") : word.verdict.none);
    else {
      const unit = unitFor(r.units!, system());
      const value = fromSI(unit, v);
      put(
        output,
        unit[1]
          ? format(value, resultDigits(value, (spreads[i]?.by ?? 0) / unit[1], r.digits!))
          : gaugeName(v) || format(NaN, 1),
      );
      put(output.nextElementSibling!, unit[0]);
    }
    if (r.keys) output.dataset.verdict = (out && r.keys[v]) || "";
  });
  if (c.limits) {
    showLimits(live);
    showVerdict(live, out);
  }
  drawSoon(live);
}

/** Calculators whose plots are still to be drawn: the figures come first. */
const pending = new Set<Live>();

export function drawSoon(live: Live): void {
  if (!pending.size)
    painted(() => {
      for (const each of pending) window.benchleafPlot?.(each, readings(each));
      pending.clear();
    });
  pending.add(live);
}

/** Reads a form, or all of them, then computes what rests on it: a result may go on into another form. */
function refresh(changed?: Live): void {
  const reached = new Set(changed ? [changed] : lives.values());
  for (const live of reached)
    live.base = live.c.inputs.map((input, i) =>
      (input.from || input.follows !== undefined) && !live.fields[i]!.dataset.typed ? undefined : entered(live.form, input),
    );
  for (const live of reached)
    for (const other of lives.values())
      if (other.c.inputs.some(({ from }, i) => from?.[0] === live.form.id && other.base[i] === undefined)) reached.add(other);
  const known: Known = new Map();
  for (const live of reached) show(live, known);
}

/** Presets fields from the specifications, and puts all into the units of the reader's system. */
function preset(live: Live): void {
  follow(live.form, live.c);
  if (!isChosen()) return;
  for (const input of live.c.inputs) {
    const i = input.units?.findIndex((u) => u[3] === system()[0]) ?? -1;
    if (i >= 0 && input.units![i] !== unitOf(live.form, input)) setUnit(live.form, input, i);
  }
}

/** By the field's id. */
type Entries = Record<string, [text: string, unit: number]>;

/**
 * The job that the entries are of: another machine has its own. Without a job they last until
 * the tab is closed: a technician follows a link to a procedure and comes back.
 */
let job: string | undefined;

const early = keyOf("bench");

function keep(): void {
  const entries: Entries = {};
  for (const { form, fields } of lives.values())
    for (const e of fields)
      if (e.dataset.typed) entries[e.id] = [e.value, field(form, e.name + ".unit")?.selectedIndex ?? 0];
  remember(keyOf("bench", job), entries, job ? undefined : "sessionStorage");
  if (!job) takeUp(); // a reading that was typed may have begun one
}

/** Takes up what was entered for the job at hand; what was entered before it began is its own. */
function takeUp(anew?: boolean): void {
  const now = jobAtHand();
  if (now === job && !anew) return;
  job = now;
  const entries = recall<Entries>(keyOf("bench", job)) ?? recall<Entries>(early, "sessionStorage");
  remember(early, null, "sessionStorage");
  for (const live of lives.values()) {
    const { form, fields } = live;
    blank(live);
    for (const e of fields) {
      const entry = entries?.[e.id];
      if (!entry) continue;
      e.value = entry[0];
      const unit = field(form, e.name + ".unit");
      if (unit) keepUnit(unit, entry[1]);
      setTyped(e, true);
    }
  }
  if (entries) keep();
  refresh();
}

/** Marks a field as typed in, or as having its value from the page; a chain is cut by the one and joined by the other. */
function setTyped(e: Field, typed: boolean): void {
  e.dataset.typed = typed ? "yes" : "";
  const from = one(".from", e.closest(".field")!);
  if (from) from.firstChild!.textContent = (typed ? word.calculator.cut : word.calculator.from) + " ";
}

/** As the sheet has it. */
function blank(live: Live): void {
  const { form, c, fields } = live;
  form.reset();
  for (const select of all<HTMLSelectElement>("select", form)) {
    delete select.dataset.was;
    if (select.name === "units") select.value = system();
  }
  for (const e of fields) setTyped(e, false);
  // What is measured is entered; the sheet's example is no reading.
  for (const input of c.inputs) if (input.optional && input.meter) field(form, input.name)!.value = "";
  preset(live);
}

/** The keys below the fields: the next machine, and the choice of the system of units, where a unit depends on it. */
function startKeys(live: Live): void {
  const { form } = live;
  // What was typed is taken away.
  one(".keys button", form)!.onclick = () => {
    blank(live);
    keep();
    refresh(live);
  };
  const select = field(form, "units");
  if (select)
    select.onchange = () => {
      choose(select.value);
      for (const other of all<HTMLSelectElement>("select[name=units]")) other.value = select.value;
      for (const each of lives.values()) preset(each);
      refresh();
    };
}

function changed(live: Live, target: Field): void {
  const { form, c } = live;
  const unit = c.inputs.find((i) => i.name + ".unit" === target.name);
  if (target.name === "units") return;
  if (unit) {
    const e = field(form, unit.name)!;
    const index = target.selectedIndex;
    e.inputMode = unit.units![index]![1] ? "decimal" : "text";
    // What was typed keeps its figure: the reader sets right in what unit it is.
    if (!e.dataset.typed) {
      target.selectedIndex = unitBefore(target);
      setUnit(form, unit, index);
    }
    keepUnit(target);
  } else {
    setTyped(target, !one(".from", target.closest(".field")!) || !!target.value.trim());
  }
  keep();
  refresh(live);
}

async function start(form: Form, c: Calculator): Promise<void> {
  try {
    lives.set(form.id, {
      form,
      c,
      run: await load(form),
      fields: c.inputs.map((input) => field(form, input.name)!),
      outputs: c.results.map((r) => one(`output[name="${r.name}"]`, form)!),
      base: [],
    });
  } catch {
    form.prepend(make("p", word.calculator.failed));
  }
}

export async function startCalculators(): Promise<void> {
  // A field that is to be read on a meter stands empty: of the sheet's example the room stays.
  for (const [style, height] of all(".results > div").map((e) => [e.style, e.offsetHeight] as const)) style.minHeight = height + "px";
  const forms = all<Form>("form.calculator").filter((form) => data.calculators?.[form.id]);
  await Promise.all(forms.map((form) => start(form, data.calculators![form.id]!)));
  for (const live of lives.values()) {
    const { form } = live;
    one<HTMLFieldSetElement>("fieldset", form)!.disabled = false;
    startKeys(live);
    form.onsubmit = () => false;
    form.addEventListener("input", (e) => changed(live, e.target as Field));
  }
  if (!lives.size) return;
  onModel(() => {
    for (const live of lives.values()) preset(live);
    refresh();
  });
  onJob(takeUp);
  takeUp();
  // WebKit empties the fields of a page that it goes back to, a task later.
  addEventListener("pageshow", (e) => e.persisted && setTimeout(takeUp, 0, true));
}
