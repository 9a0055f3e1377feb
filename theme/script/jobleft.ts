/** What still has to be put back on the machine: above the bar, until nothing stands. */

import { button, fill, ids, make, one, put } from "./dom";
import { id as job, now, record, save } from "./hand";
import { standing } from "./journal";
import { forgetRead } from "./readings";
import { settingOf, stands } from "./stands";

/** What a tap has cleared since the card was shown, and may be undone. */
let cleared: string[] = [];

/** What the step at hand sets. */
const inStep = (): string[] => ids(one(".step.current")?.dataset.sets);

/** Draws the list anew: what stands, last off first on, each with the key that says how it is put back. */
export function drawLeft(list: HTMLElement, among = (_: string): boolean => true): void {
  const focused = (document.activeElement as HTMLElement | null)?.closest<HTMLElement>("[data-setting]");
  const focus = focused && list.contains(focused) ? focused.dataset.setting : "";
  const left = record?.left ?? [];
  const all = [...cleared.filter((id) => !left.includes(id)), ...left].filter(among);
  list.replaceChildren(
    ...all.reverse().map((id) => {
      const li = make("li");
      li.dataset.setting = id;
      const [title, restore] = settingOf(id);
      const back = fill(word.job.putBack, { title });
      const stands = left.includes(id);
      const key = button(stands ? restore || back : word.job.undo, () => {
        cleared = [...cleared.filter((c) => c !== id), ...(stands ? [id] : [])];
        forgetRead(job());
        save((j) => standing(j, stands ? [id] : [], stands ? [] : [id], now()));
      });
      li.append(make("span", !stands ? "✓ " + back : inStep().includes(id) ? fill(word.job.inStep, { title }) : title), " ", key);
      return li;
    }),
  );
  list.parentElement!.hidden = !list.children.length;
  if (focus) one(`[data-setting="${focus}"] button`, list)?.focus();
}

/** A list with its title, in a box or in one that opens. */
export function leftList(box: HTMLElement, title: HTMLElement): HTMLElement {
  box.className = "left";
  const list = make("ul");
  box.append(title, list);
  return list;
}

const strip = make("details");
const title = make("summary");
const list = leftList(strip, title);
const stood = one(".bar p"); // the same, until the record is there
const said = make("div"); // it takes no room
said.setAttribute("role", "status");

export function startLeft(): void {
  one(".bar")!.prepend(strip, said);
}

export function showLeft(): void {
  if (record) stood?.remove();
  drawLeft(list);
  // Nothing is said to be back of what the step at hand may have put off since.
  const doing = inStep().map((id) => fill(word.job.inStep, { title: settingOf(id)[0] }))[0];
  const text = (record && stands(record)) || doing || word.job.nothingLeft;
  put(title, text);
  put(said, list.children.length || said.textContent ? text : "");
}

/** Another card: what was cleared stays so. */
export function forgetCleared(): void {
  cleared = [];
}
