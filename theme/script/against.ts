/** An answer against the reading, the watch or what stands on the machine leads on only when it is asked for once more. */

import { button, fill, make, one } from "./dom";
import { lacking, stopping, titles } from "./first";
import { hrefOf } from "./place";

let question: HTMLElement | undefined;
/** The answer that is given all the same. */
let meant: HTMLElement | undefined;

/**
 * What speaks against an answer, "" for nothing: what was taken says something else, cannot
 * be, or is too close to call for a check. What differs each time may have any answer.
 */
function doubted(a: HTMLElement, section: HTMLElement): string {
  const { outcome, said } = a.dataset;
  const { side, value } = section.dataset;
  if (side === "close") return outcome === "within" && a.closest("[data-verification]") ? word.job.closeCheck : "";
  if (!said || outcome === side || outcome === "unstable") return "";
  if (!side && one("[aria-invalid=true]", section)) return word.job.refused;
  return side || (outcome === "none" && value) ? word.job.against : "";
}

/** Whether an answer of a check leads on to the proof of the repair. */
function proves(a: HTMLElement): boolean {
  const to = hrefOf(a);
  return !!a.closest("[data-verification]") && (to === "#end-repaired" || (to[0] === "#" && !!document.getElementById(to.slice(1))?.matches("[data-verification]")));
}

function ask(e: MouseEvent): void {
  const target = e.target as Element;
  if (question?.contains(target)) return;
  question?.remove();
  const a = target.closest<HTMLElement>(".step .answers a");
  if (!a || a === meant) return;
  const step = a.closest<HTMLElement>(".step")!;
  const section = a.closest<HTMLElement>(".reading");
  const why = section ? doubted(a, section) : "";
  const lacks = lacking(step);
  const off = proves(a) ? stopping(step) : [];
  if (!why && !lacks[0] && !off[0]) return;
  e.preventDefault();
  e.stopPropagation();
  const { said: answer } = a.dataset;
  let said = answer || a.firstChild!.textContent!.trim();
  if (off[0]) said += ` (${fill(word.job.notBack, { what: titles(off) })})`;
  const done = lacks[0] ? `${titles(lacks)}: ${word.page.done}.` : "";
  const yes = button([done, why, why || off[0] ? fill(word.job.allTheSame, { said }) : said].filter(Boolean).join(" "), () => {
    question!.remove();
    meant = a;
    // The record has what was not put back.
    a.dataset.said = said;
    a.click();
    a.dataset.said = answer ?? "";
    meant = undefined;
  });
  question = make("li");
  question.append(yes);
  if (off[0])
    question.append(
      button(fill(word.job.putBack, { title: titles(off) }), () => {
        for (const id of off) one(`.off [data-setting="${id}"] button`, step)?.click();
        a.click();
      }),
    );
  a.parentElement!.after(question);
  yes.focus();
}

export function startAgainst(): void {
  document.addEventListener("click", ask, true);
  document.addEventListener("input", () => question?.remove());
}
