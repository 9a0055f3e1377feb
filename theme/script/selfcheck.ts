/** Self-checks: an answer is tapped, the page says whether it is right and keeps the score. */

import { all, button, fill, one } from "./dom";
import { recall, remember } from "./store";

export function startSelfChecks(): void {
  const checks = all(".self-check");
  const name = `self-check ${document.body.dataset.page}`;
  const score = recall<Record<string, boolean>>(name) ?? {};
  for (const check of checks) {
    const say = one("[role=status]", check)!;
    for (const item of all("li", check)) {
      const key = button("", () => {
        const right = "right" in item.dataset;
        // The first answer counts; a later one only teaches.
        score[check.id] ??= right;
        remember(name, score);
        key.setAttribute("aria-pressed", "true");
        one<HTMLDetailsElement>("details", check)!.open = true;
        const given = checks.filter((c) => c.id in score);
        say.textContent = [
          right ? word.check.yes : word.check.no,
          fill(word.check.score, { right: String(given.filter((c) => score[c.id]).length), all: String(given.length) }),
        ].join(" ");
      });
      // The answer's words go into the button, with the elements that they hold.
      key.append(...item.childNodes);
      item.append(key);
    }
  }
}
