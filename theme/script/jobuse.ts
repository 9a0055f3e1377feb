/** What was read is offered beside the fields of calculators. */

import { asRead } from "./asread";
import { data } from "./data";
import { all, button, fill, one } from "./dom";
import { record } from "./hand";
import { inSigns } from "./number";
import type { Entry, Reading } from "./record";

type Read = Entry & { reading: Reading };

/** The last reading that fits. What was read before a remedy is another machine's. */
export function last(fits: (e: Read) => boolean): Read | undefined {
  const since = record?.findings.reduce((time, f) => (f.remedy && f.remedy.at > time ? f.remedy.at : time), "") ?? "";
  return record?.entries.filter((e): e is Read => !!e.reading && e.at > since && fits(e as Read)).pop();
}

/** Puts a reading into a field of a calculator, as if it was typed. */
function use(field: HTMLInputElement, unit: HTMLSelectElement | null, { reading }: Read): void {
  const figure = inSigns(Number(reading.value!.toPrecision(9)));
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
      const text = read && fill(word.job.use, { value: asRead(read.reading), number: read.number });
      const known = one(".use", box);
      if (known?.textContent === text) continue;
      known?.remove();
      if (!read) continue;
      const b = button(text!, () => use(field, form.elements.namedItem(input.name + ".unit") as HTMLSelectElement | null, read));
      b.className = "use";
      box.append(b);
    }
}
