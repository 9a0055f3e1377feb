/** Readings are taken once: a later step has what was read, a calculator offers it. */

import { page, quantityOf } from "./answered";
import { data } from "./data";
import { all, button, fill, make, one } from "./dom";
import { record } from "./hand";
import { lastOther } from "./journal";
import type { Entry, Reading } from "./record";
import { asRead } from "./spoken";
import { moment } from "./time";

type Read = Entry & { reading: Reading };

/** The last reading that fits. What was read before a remedy is another machine's. */
function last(fits: (e: Read) => boolean): Read | undefined {
  const since = record?.findings.reduce((time, f) => (f.remedy && f.remedy.at > time ? f.remedy.at : time), "") ?? "";
  return record?.entries.filter((e): e is Read => !!e.reading && e.at > since && fits(e as Read)).pop();
}

/** The steps in which nothing is filled in, because the technician has typed, or was asked once. */
const asked = new Set<HTMLElement>();

const noteOf = (section: HTMLElement): HTMLElement | null => one(".recalled", section);

function forget(section: HTMLElement): void {
  noteOf(section)?.remove();
  delete section.dataset.recalled;
}

/** Fills in what was read before, and says so. A check after the repair is always measured. */
export function fillIn(card: HTMLElement, shown: number): void {
  const section = one(".reading", card);
  const input = section && one<HTMLInputElement>("input", section);
  if (!input || asked.has(section) || "verification" in card.dataset) return;
  const { spec, red, black } = quantityOf(section);
  const { state } = card.dataset;
  const before = last(
    ({ reading: r, ...e }) =>
      r.spec === spec && r.red === red && r.black === black && (!e.state || !state || e.state === state) && Date.parse(e.at) <= shown,
  );
  if (!before || (input.value && input.value !== before.reading.text)) return;
  asked.add(section);
  const values = { time: moment(before.at), number: String(before.number), title: before.title };
  const note = make("p", fill(before.page === page && before.step === card.id ? word.job.readHere : word.job.readBefore, values));
  note.className = "recalled";
  note.setAttribute("role", "status");
  input.closest(".taken")!.before(note);
  section.dataset.recalled = fill(word.job.taken, values);
  input.value = before.reading.text;
  input.dispatchEvent(new Event("input"));
  input.addEventListener("input", (e) => e.bubbles && forget(section));
}

/** Another way: what was filled in may be so again. */
export function forgetFilled(): void {
  for (const section of asked) forget(section);
  asked.clear();
}

/** A wait that one is tempted to cut short: an engine that cools, not one that warms up. */
const longWait = 30;

/** Says so where a check comes before the engine can be in the state that it wants; it is the technician's to answer even so. */
export function warnSoon(card: HTMLElement, time: string): void {
  one(".too-soon", card)?.remove();
  delete card.dataset.since;
  const [usual, ...from] = card.dataset.minutes?.split(" ") ?? [];
  const [e, minutes] = (record && lastOther(record, card.dataset.state, time)) ?? [];
  if (!usual || !e) return;
  const wanted = from.find((f) => f.startsWith(e.state + ":"))?.split(":")[1] ?? usual;
  if (Number(wanted) < longWait || minutes! >= Number(wanted)) return;
  const values = { number: String(e.number), minutes: String(minutes), wanted };
  card.dataset.since = fill(word.job.since, values);
  const note = make("p", card.dataset.since);
  note.className = "recalled too-soon";
  note.setAttribute("role", "status");
  one("h2", card)!.after(note);
}

/** Puts a reading into a field of a calculator, as if it was typed. */
function use(field: HTMLInputElement, unit: HTMLSelectElement | null, { reading }: Read): void {
  const figure = String(Number(reading.value!.toPrecision(9))).replace(".", data.decimal ?? ".");
  const i = [...(unit?.options ?? [])].findIndex((o) => o.text === reading.unit);
  if (unit && i >= 0 && i !== unit.selectedIndex) {
    unit.selectedIndex = i;
    unit.dispatchEvent(new Event("input", { bubbles: true }));
  }
  field.value = i >= 0 ? figure : `${figure} ${reading.unit}`;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

/** Offers readings beside the fields that a specification presets; nothing is filled in unasked. */
export function offer(): void {
  for (const form of all<HTMLFormElement>("form.calculator"))
    for (const input of data.calculators?.[form.id]?.inputs ?? []) {
      const field = form.elements.namedItem(input.name) as HTMLInputElement | null;
      const box = field?.closest(".field");
      if (!input.spec || input.within || !field || !box) continue;
      const read = last((e) => e.reading.spec === input.spec && e.reading.value !== undefined);
      const text = read && fill(word.job.use, { value: asRead(read.reading), number: String(read.number) });
      const known = one(".use", box);
      if (known?.textContent === (text ?? undefined)) continue;
      known?.remove();
      if (!read) continue;
      const b = button(text!, () => use(field, form.elements.namedItem(input.name + ".unit") as HTMLSelectElement | null, read));
      b.className = "use";
      box.append(b);
    }
}
