/**
 * Self-checks: an answer is tapped, the page says whether it is right and keeps the
 * score. The script of a page with self-checks, besides its own.
 */

import { all, fill, one } from "./dom";
import { recall, remember } from "./store";

const checks = all(".self-check");
const name = `answered ${document.body.dataset.page}`;
/** The first answer to each question, in its own words: a newer edition may have others. */
const first = recall<Record<string, string>>(name) ?? {};
const isRight = (item: HTMLElement): boolean => "right" in item.dataset;

/** The answer that counts; undefined where the question has not been answered. */
const counts = (check: HTMLElement): HTMLElement | undefined => all("li", check).find((item) => item.textContent === first[check.id]);

/** Shows an answer as given, with the explanation, and the score as it is since then. */
function tell(check: HTMLElement, item: HTMLElement): void {
  one("button", item)!.setAttribute("aria-pressed", "true");
  one<HTMLDetailsElement>("details", check)!.open = true;
  const given = checks.flatMap((c) => counts(c) ?? []);
  const score = fill(word.check.score, { right: given.filter(isRight).length, all: given.length });
  one("[role=status]", check)!.textContent = `${isRight(item) ? word.check.yes : word.check.no} ${score}`;
}

for (const check of checks)
  for (const item of all("li", check)) {
    const key = one<HTMLButtonElement>("button", item)!;
    key.disabled = false;
    key.onclick = () => {
      // The first answer counts; a later one only teaches.
      if (!counts(check)) remember(name, Object.assign(first, { [check.id]: item.textContent! }));
      tell(check, item);
    };
  }
for (const check of checks) {
  const item = counts(check);
  if (item) tell(check, item);
}
