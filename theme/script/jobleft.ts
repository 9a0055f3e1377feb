/** What still has to be put back on the machine: above the bar, until nothing stands. */

import { button, fill, ids, make, one, put } from "./dom";
import { id as job, now, record, save } from "./hand";
import { standing } from "./journal";
import { forgetRead } from "./readings";
import { settingOf, stands } from "./stands";

/** What a tap has cleared since the card was shown, and may be undone. */
let cleared: string[] = [];

/** Whether a step may not be begun while a setting stands: its engine state does not allow it, or the step forbids it. Its action puts back what it restores. */
function stops(step: HTMLElement, setting: string): boolean {
  const { state, forbids, restores } = step.dataset;
  const allowed = ids(settingOf(setting)[2]);
  return !ids(restores).includes(setting) && (ids(forbids).includes(setting) || (!!state && !!allowed[0] && !allowed.includes(state)));
}

/** What has to be put back before a step is begun. */
const first = (step: HTMLElement): string[] => record?.left.filter((id) => stops(step, id)) ?? [];

/** Draws the list anew: what stands and stops a step, last off first on, each with the key that says how it is put back. */
export function drawLeft(list: HTMLElement, step?: HTMLElement): void {
  const focused = (document.activeElement as HTMLElement | null)?.closest<HTMLElement>("[data-setting]");
  const focus = focused && list.contains(focused) ? focused.dataset.setting : "";
  const left = record?.left ?? [];
  const all = [...cleared.filter((id) => !left.includes(id)), ...left].filter((id) => !step || stops(step, id));
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
      li.append(make("span", stands ? title : "✓ " + back), " ", key);
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
const said = make("div"); // it takes no room
said.setAttribute("role", "status");

export function startLeft(): void {
  one(".bar > p")?.remove(); // the same, as it stood before this script
  said.className = "heard";
  one(".bar")!.prepend(strip, said);
}

export function showLeft(): void {
  drawLeft(list);
  const text = record ? stands(record) : "";
  put(title, text || word.job.nothingLeft);
  put(said, text || (said.textContent && word.job.nothingLeft));
  drawFirst();
  // What surely stands by the sheet is what stands by the job.
  const fixed = one(".current .standing");
  if (!fixed || !record) return;
  fixed.hidden = !record.left.length;
  put(fixed, fill(word.step.standing, { settings: record.left.map((id) => settingOf(id)[0]).join("; ") }));
}

/** What stops the step at hand stands above all that is to be done. */
function drawFirst(): void {
  const step = one(".step.current");
  if (!step) return;
  let box = one(":scope > .left", step);
  if (!box && !first(step).length) return;
  if (!box) {
    box = make("div");
    box.setAttribute("role", "status");
    leftList(box, make("b", word.job.leftFirst));
    (one(":scope > .minutes", step) ?? one("h2", step)!).after(box);
  }
  drawLeft(one("ul", box)!, step);
}

/** Another card: what was cleared stays so. */
export function forgetCleared(): void {
  cleared = [];
}
