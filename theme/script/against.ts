/** An answer against the reading or the watch leads on only when it is asked for once more. */

import { button, fill, make } from "./dom";
import { query } from "./place";

let question: HTMLElement | undefined;
/** The answer that is given all the same. */
let meant: HTMLElement | undefined;

/** Whether a check would pass by what is too close to call. */
const passes = (a: HTMLElement, { side }: DOMStringMap): boolean =>
  side === "close" && a.dataset.outcome === "within" && !!a.closest("[data-verification]");

/** Whether what was taken says something else: what differs each time, or is too close to call and no check, may have any answer. */
function against({ outcome, said }: DOMStringMap, { side, value }: DOMStringMap): boolean {
  if (!said || outcome === side || outcome === "unstable") return false;
  return side ? side !== "close" : outcome === "none" && !!value;
}

function ask(e: MouseEvent): void {
  const target = e.target as Element;
  if (question?.contains(target)) return;
  question?.remove();
  const a = target.closest<HTMLElement>("[data-outcome]");
  if (!a || a === meant) return;
  const taken = a.closest<HTMLElement>(".reading")!.dataset;
  const close = passes(a, taken);
  if (!close && !against(a.dataset, taken)) return;
  e.preventDefault();
  e.stopPropagation();
  question = make("li");
  const yes = button(fill(close ? word.job.closeCheck : word.job.against, { said: a.dataset.said! }), () => {
    question!.remove();
    meant = a;
    a.click();
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
