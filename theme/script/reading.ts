/** Readings: a value is entered, the verdict says which answer follows. */

import { data, type Spec } from "./data";
import { all, fill, one, own as kept } from "./dom";
import { has, judged, only, show, type Judged } from "./judged";
import { limitOf, onModel } from "./model";
import { complaint } from "./complaint";
import { inSigns, overRange, typedIn } from "./number";
import { fromSI, quantity, type Quantity } from "./unit";
import { judge, type Side } from "./verdict";

const says = { low: word.verdict.low, high: word.verdict.high, closeNext: word.verdict.closeNext };
const nothing: Judged = { verdict: "outside", side: "none", words: [word.verdict.nothing, word.verdict.outsideNext] };

const doubtOf = (spec: Spec, v: number): number => spec.meter[0] * Math.abs(v) + spec.meter[1];

/** What is said of a reading that cannot be, by more than the meter's own doubt: a decimal sign was forgotten, or another unit meant. */
function beyond(spec: Spec, v: number): string {
  const [, , least = -Infinity, most = Infinity] = spec.meter;
  const doubt = doubtOf(spec, v);
  if (v >= least - doubt && v <= most + doubt) return "";
  return fill(word.verdict.beyond, { range: `${fill(word.limit.range, { min: inSigns(least), max: inSigns(most) })}\u00a0${spec.units[0][0]}` });
}

/**
 * On which side of its limits a reading lies, "" for none. Nothing to be read is
 * an outcome of its own, where the step has one: over range, or no more than the
 * meter's own doubt around zero.
 */
export function sideOf(section: HTMLElement, spec: Spec, v: number): Side | "none" | "negative" {
  const limit = limitOf(spec);
  if (!limit) return "";
  const [symbol, , offset] = spec.units[0];
  const doubt = doubtOf(spec, v);
  if (!offset && v < -doubt && (limit[0] ?? 0) >= 0 && (limit[1] ?? 0) >= 0) return "negative";
  const side = judge(v, limit, doubt);
  return side === "low" && has(section, "none") && /[VA]$/.test(symbol) && Math.abs(v) <= doubt ? "none" : side;
}

export function startReadings(): void {
  for (const section of all(".reading")) {
    const spec = data.specs?.[section.dataset.reading!];
    const input = one<HTMLInputElement>("input", section);
    if (!spec || !input) continue;
    const own = spec.units[0];
    const title = one("h3", section)!.textContent!;

    const judgeInput = (): void => {
      const text = typedIn(input);
      const over = overRange.test(text);
      const read = text && !over && quantity(text, own, spec.units);
      let now = only("");
      let refused = "";
      let value = "";
      if (over) now = has(section, "none") ? nothing : { ...now, words: [word.verdict.nothing, word.verdict.outsideOnly] };
      else if (typeof read === "string") refused = complaint(read, title, "", spec.units);
      else if (read) {
        const v = fromSI(own, read.si);
        const side = sideOf(section, spec, v);
        if (side === "negative") now = only(word.verdict.negative);
        else if (!(refused = beyond(spec, v))) {
          const limit = limitOf(spec);
          now = side === "none" ? nothing : judged(section, limit, v, doubtOf(spec, v), own[0], says);
          // Between two limits with its decimal sign one place along. That may be a true fault: the verdict stands.
          if (limit?.[0] && limit[1] && judge(({ low: v * 10, high: v / 10 } as Record<string, number>)[side]!, limit, 0) === "within") now.words[1] += " " + word.verdict.shifted;
        }
        if (!refused) value = String(v);
      }
      if (refused) now = only(refused);
      input.setAttribute("aria-invalid", String(!!refused));
      section.dataset.value = value;
      show(section, now, kept((read as Quantity).said ?? text));
    };

    input.disabled = false;
    input.addEventListener("input", judgeInput);
    onModel(judgeInput);
  }
}
