/** What still has to be put back on the machine: above the bar, until nothing stands. */

import { button, fill, make, one } from "./dom";
import { now, record, save } from "./hand";
import { standing } from "./journal";
import { settingOf, stands } from "./stands";

/** What a tap has cleared since the card was shown, and may be undone. */
let cleared: string[] = [];

/** Draws the list anew; full says what to do about each. */
export function drawLeft(list: HTMLElement, full: boolean): void {
  const focused = (document.activeElement as HTMLElement | null)?.closest<HTMLElement>("[data-setting]");
  const focus = focused && list.contains(focused) ? focused.dataset.setting : "";
  const left = record?.left ?? [];
  list.replaceChildren(
    ...[...left, ...cleared.filter((id) => !left.includes(id))].map((id) => {
      const li = make("li");
      li.dataset.setting = id;
      const [title, restore] = settingOf(id);
      if (left.includes(id)) {
        const b = button(title, () => {
          cleared.push(id);
          save((job) => standing(job, [id], [], now()));
        });
        b.setAttribute("aria-label", fill(word.job.putBack, { title }));
        if (full && restore) li.append(make("p", restore));
        li.append(b);
      } else {
        const undo = button(word.job.undo, () => {
          cleared = cleared.filter((c) => c !== id);
          save((job) => standing(job, [], [id], now()));
        });
        undo.setAttribute("aria-label", `${word.job.undo}: ${title}`);
        li.append(make("span", "✓ " + title), " ", undo);
      }
      return li;
    }),
  );
  list.parentElement!.hidden = !list.children.length;
  if (focus) one(`[data-setting="${CSS.escape(focus)}"] button`, list)?.focus();
}

/** A list with its title. */
export function leftList(title: string): [HTMLElement, HTMLElement] {
  const box = make("div");
  box.className = "left";
  const list = make("ul");
  list.setAttribute("aria-label", title);
  box.append(make("b", title), list);
  return [box, list];
}

const [strip, list] = leftList(word.job.left);
const said = make("p");
said.setAttribute("role", "status");

export function startLeft(): void {
  one(".bar > p")?.remove(); // the same, as it stood before this script
  said.className = "heard";
  one(".bar")!.prepend(strip, said);
}

export function showLeft(): void {
  drawLeft(list, false);
  const text = (record && stands(record)) || (said.textContent && word.job.nothingLeft);
  if (said.textContent !== text) said.textContent = text;
}

/** Another card: what was cleared stays so. */
export function forgetCleared(): void {
  cleared = [];
}
