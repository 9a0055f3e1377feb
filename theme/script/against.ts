/** An answer against the reading, the watch or what stands on the machine leads on only when it is asked for once more. */

import { button, fill, make, one } from "./dom";
import { settingOf, stopping } from "./first";
import { hrefOf, query } from "./place";

let question: HTMLElement | undefined;
/** The answer that is given all the same. */
let meant: HTMLElement | undefined;

/** Whether a check would pass by what is too close to call. */
const passes = (a: HTMLElement, side?: string): boolean => side === "close" && a.dataset.outcome === "within" && !!a.closest("[data-verification]");

/**
 * Whether what was taken says something else, or cannot be: what differs each time, or is
 * too close to call and no check, may have any answer.
 */
function against({ outcome, said }: DOMStringMap, section: HTMLElement): boolean {
  const { side, value } = section.dataset;
  if (!said || outcome === side || outcome === "unstable") return false;
  return side ? side !== "close" : !!one("[aria-invalid=true]", section) || (outcome === "none" && !!value);
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
  const section = a.closest<HTMLElement>(".reading");
  const close = !!section && passes(a, section.dataset.side);
  const other = !!section && against(a.dataset, section);
  const off = proves(a) ? stopping(a.closest(".step")!) : [];
  if (!close && !other && !off[0]) return;
  e.preventDefault();
  e.stopPropagation();
  const { said: answer } = a.dataset;
  let said = answer || a.firstChild!.textContent!.trim();
  if (off[0]) said += ` (${fill(word.job.notBack, { what: off.map((id) => settingOf(id)[0]).join("; ") })})`;
  question = make("li");
  const yes = button(fill(close ? word.job.closeCheck : other ? word.job.against : word.job.allTheSame, { said }), () => {
    question!.remove();
    meant = a;
    // The record has what was not put back.
    a.dataset.said = said;
    a.click();
    a.dataset.said = answer ?? "";
    meant = undefined;
  });
  question.append(yes);
  a.parentElement!.after(question);
  yes.focus();
}

/** On a planted fault nobody asks: such answers are told at the end. */
export function startAgainst(): void {
  if (query().startsWith("?practice=")) return;
  document.addEventListener("click", ask, true);
  document.addEventListener("input", () => question?.remove());
}
