/** Readings: a value is entered, the verdict says which answer follows. */

import { data, type Spec } from "./data";
import { all, one } from "./dom";
import { has, judged, only, show, type Judged } from "./judged";
import { limitOf, onModel } from "./model";
import { complaint } from "./complaint";
import { overRange } from "./number";
import { fromSI, quantity } from "./unit";

const says = { low: word.verdict.low, high: word.verdict.high, closeNext: word.verdict.closeNext };
const nothing: Judged = { verdict: "outside", side: "none", words: [word.verdict.nothing, word.verdict.outsideNext] };

/**
 * Judges a reading. Nothing to be read is an outcome of its own, where the step
 * has one: over range, or no more than the meter's own doubt around zero.
 */
function judgedReading(section: HTMLElement, spec: Spec, v: number): Judged {
  const limit = limitOf(spec);
  const [symbol, , offset] = spec.units[0];
  const doubt = spec.meter[0] * Math.abs(v) + spec.meter[1];
  if (limit && !offset && v < -doubt && (limit[0] ?? 0) >= 0 && (limit[1] ?? 0) >= 0) return only(word.verdict.negative);
  const now = judged(section, limit, v, doubt, symbol, says);
  return now.side === "low" && has(section, "none") && /[VA]$/.test(symbol) && Math.abs(v) <= doubt ? nothing : now;
}

export function startReadings(): void {
  for (const section of all(".reading")) {
    const spec = data.specs?.[section.dataset.reading ?? ""];
    const input = one<HTMLInputElement>("input", section);
    if (!spec || !input) continue;
    const own = spec.units[0];
    const title = one("h3", section)?.textContent ?? "";

    const judgeInput = (): void => {
      const text = input.value.trim();
      const over = overRange.test(text);
      const read = text && !over ? quantity(text, own, spec.units) : null;
      let now = only("");
      if (over && has(section, "none")) now = nothing;
      else if (over) now.words = [word.verdict.nothing, word.verdict.outsideOnly];
      else if (typeof read === "string") now = only(complaint(read, title, "", spec.units));
      else if (read) now = judgedReading(section, spec, fromSI(own, read.si));
      input.setAttribute("aria-invalid", String(typeof read === "string"));
      const entry = read && typeof read === "object" ? (/\d$/.test(text) ? `${text} ${read.unit[0]}` : text) : over ? text : "";
      section.dataset.value = read && typeof read === "object" ? String(fromSI(own, read.si)) : "";
      show(section, now, entry);
    };

    input.disabled = false;
    input.addEventListener("input", judgeInput);
    onModel(judgeInput);
  }
}
