/** Readings: a value is entered, the verdict says which answer follows. */

import { data, type Spec } from "./data";
import { all, fill, make, one } from "./dom";
import { limitOf, onModel } from "./model";
import { complaint } from "./complaint";
import { format, overRange } from "./number";
import { fromSI, quantity } from "./unit";
import { guardFactor, judge } from "./verdict";

/** What is said of an entry, and the outcome that follows; "" where none does. */
interface Judged {
  verdict: string;
  side: string;
  words: [string, string?];
}

/**
 * Judges a reading. Nothing to be read is an outcome of its own, where the step
 * has one: over range, or no more than the meter's own doubt around zero.
 */
function judged(spec: Spec, v: number, has: (outcome: string) => boolean): Judged {
  const limit = limitOf(spec);
  if (!limit) return { verdict: "", side: "", words: [limit === null ? word.verdict.model : word.verdict.noLimit] };
  const [symbol, , offset] = spec.units[0];
  const doubt = spec.meter[0] * Math.abs(v) + spec.meter[1];
  if (!offset && v < -doubt && (limit[0] ?? 0) >= 0 && (limit[1] ?? 0) >= 0)
    return { verdict: "", side: "", words: [word.verdict.negative] };
  const side = judge(v, limit, doubt);
  if (side === "low" && has("none") && /[VA]$/.test(symbol) && Math.abs(v) <= doubt)
    return { verdict: "outside", side: "none", words: [word.verdict.nothing, word.verdict.outsideNext] };
  const next = has(side);
  const bound = `${format(guardFactor * doubt, 2, data.decimal)}\u00a0${symbol}`;
  if (side === "within") return { verdict: side, side, words: [word.verdict.within, next ? word.verdict.withinNext : ""] };
  if (side === "close") return { verdict: side, side, words: [word.verdict.close, fill(word.verdict.closeNext, { bound })] };
  return {
    verdict: "outside",
    side,
    words: [
      side === "low" ? word.verdict.low : word.verdict.high,
      next ? word.verdict.outsideNext : word.verdict.outsideOnly,
    ],
  };
}

export function startReadings(): void {
  for (const section of all(".reading")) {
    const spec = data.specs?.[section.dataset.reading ?? ""];
    const input = one<HTMLInputElement>("input", section);
    const output = one<HTMLOutputElement>("output", section);
    if (!spec || !input || !output) continue;
    const own = spec.units[0];
    const title = one("h3", section)?.textContent ?? "";

    const judgeInput = (): void => {
      const text = input.value.trim();
      const has = (outcome: string): boolean => !!one(`[data-outcome="${outcome}"]`, section);
      const over = overRange.test(text);
      const read = text && !over ? quantity(text, own, spec.units) : null;
      let now: Judged = { verdict: "", side: "", words: [""] };
      if (over && has("none")) now = { verdict: "outside", side: "none", words: [word.verdict.nothing, word.verdict.outsideNext] };
      else if (over) now.words = [word.verdict.nothing, word.verdict.outsideOnly];
      else if (typeof read === "string") now.words = [complaint(read, title, "", spec.units)];
      else if (read) now = judged(spec, fromSI(own, read.si), has);
      const { verdict, side, words } = now;
      input.setAttribute("aria-invalid", String(typeof read === "string"));
      output.dataset.verdict = verdict;
      output.hidden = !words[0];
      output.replaceChildren(make("b", words[0]), " ", words[1] ?? "");
      for (const a of all("[data-outcome]", section)) {
        a.toggleAttribute("data-follows", a.dataset.outcome === side);
        // An answer against the verdict is the technician's to give, and is kept as such.
        const against = side && side !== a.dataset.outcome ? ` (${words[0]})` : "";
        const entry = read && typeof read === "object" ? (/\d$/.test(text) ? `${text} ${read.unit[0]}` : text) : over ? text : "";
        a.dataset.said = entry && `${a.firstChild!.textContent!.trim()}: ${entry}${against}`;
      }
    };

    input.disabled = false;
    input.addEventListener("input", judgeInput);
    onModel(judgeInput);
  }
}
