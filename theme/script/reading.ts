/** Readings: a value is entered, the verdict says which answer follows. */

import { data } from "./data";
import { all, make, one } from "./dom";
import { limitOf, onModel } from "./model";
import { complaint } from "./complaint";
import { fromSI, quantity } from "./unit";
import { judge } from "./verdict";

export function startReadings(): void {
  for (const section of all(".reading")) {
    const spec = data.specs?.[section.dataset.reading ?? ""];
    const input = one<HTMLInputElement>("input", section);
    const output = one<HTMLOutputElement>("output", section);
    if (!spec || !input || !output) continue;
    const own = spec.units[0];
    const title = one("h3", section)?.textContent ?? "";

    const judgeInput = (): void => {
      let verdict = "";
      let side = "";
      let words: [string, string?] = [""];
      const read = input.value.trim() ? quantity(input.value, own, spec.units) : null;
      const limit = limitOf(spec);
      if (typeof read === "string") {
        words = [complaint(read, title, "", spec.units)];
      } else if (read && !limit) {
        words = [limit === null ? word.verdict.model : word.verdict.noLimit];
      } else if (read && limit) {
        side = judge(fromSI(own, read.si), limit, spec.meter);
        const follows = one(`[data-outcome=${side}]`, section);
        verdict = side === "low" || side === "high" ? "outside" : side;
        if (side === "within") words = [word.verdict.within, follows ? word.verdict.withinNext : ""];
        else if (side === "close") words = [word.verdict.close, word.verdict.closeNext];
        else
          words = [
            side === "low" ? word.verdict.low : word.verdict.high,
            follows ? word.verdict.outsideNext : word.verdict.outsideOnly,
          ];
      }
      input.setAttribute("aria-invalid", String(typeof read === "string"));
      output.dataset.verdict = verdict;
      output.hidden = !words[0];
      output.replaceChildren(make("b", words[0]), " ", words[1] ?? "");
      for (const a of all("[data-outcome]", section)) {
        a.toggleAttribute("data-follows", a.dataset.outcome === side);
        a.dataset.said = typeof read === "object" && read ? `${a.firstChild!.textContent!.trim()}: ${input.value.trim()} ${read.unit[0]}` : "";
      }
    };

    input.disabled = false;
    input.addEventListener("input", judgeInput);
    onModel(judgeInput);
  }
}
