/** What comes before a step: what stops it is put back, and what it requires is put off or fitted. */

import { all, fill, ids, make, one, put } from "./dom";
import { found } from "./journal";
import { linkTo } from "./place";
import type { Job } from "./record";
import { settingOf } from "./stands";

/** What the script of jobs knows and does. */
export interface Hand {
  record: Job | undefined;
  drawLeft(list: HTMLElement, among: (setting: string) => boolean): void;
  leftList(box: HTMLElement, title: HTMLElement): HTMLElement;
}

let record: Job | undefined;
let shown: HTMLElement | undefined;
/** What the step that is shown lacked: it counts as done once something is typed, and stays in sight until it is answered. */
let lacked: string[] = [];

document.addEventListener("benchleaf-answer", () => (shown = undefined));

/** Whether a step may not be begun while a setting stands: its engine state does not allow it, or the step forbids it. */
function stops(step: HTMLElement, setting: string): boolean {
  const { state, forbids, sets } = step.dataset;
  const allowed = ids(settingOf(setting)[2]);
  return !ids(sets).includes(setting) && (ids(forbids).includes(setting) || (!!state && !!allowed[0] && !allowed.includes(state)));
}

/** The settings that stand although a step is not to be begun with them. */
export const stopping = (step: HTMLElement): string[] => (record?.left ?? []).filter((id) => stops(step, id));

/** The last step before another one that sets something, else the first one that does; a setting may come from another page. */
function setBy(setting: string, step: HTMLElement): HTMLElement | undefined {
  const steps = all(".step");
  const sets = (e: HTMLElement): boolean => ids(e.dataset.sets).includes(setting);
  return steps.slice(0, steps.indexOf(step)).reverse().find(sets) ?? steps.find(sets);
}

/** What a step requires and does not stand, in lines: who comes by a label, a search or a link has passed the steps by that set it. */
function lacking(step: HTMLElement, left: string[]): HTMLElement[] {
  if (shown !== step) lacked = [];
  shown = step;
  lacked = ids(step.dataset.requires).filter((e) => lacked.includes(e) || !left.includes(e));
  const by = new Map<HTMLElement | undefined, string[]>();
  for (const id of lacked) {
    const from = setBy(id, step);
    by.set(from, [...(by.get(from) ?? []), settingOf(id)[0]]);
  }
  return [...by].map(([from, titles]) => {
    const li = make("li", titles.join("; "));
    if (!from) return li;
    const link = make("a", one("h2", from)!.textContent!.trim());
    link.setAttribute("href", linkTo("#" + from.id));
    li.append(": ", link);
    return li;
  });
}

/** Says so where a search begins anew because a repair did not hold. */
function tellFailed(step: HTMLElement): void {
  one(":scope > .failed", step)?.remove();
  const e = record?.entries.slice(-1)[0];
  const f = record && found(record);
  if (!f?.remedy || !e?.verification || e.to !== "#" + step.id || step.matches("[data-verification]")) return;
  const note = make("p", `${f.title}: ${fill(word.job.failed, { number: String(e.number) })}.`);
  note.className = "recalled failed";
  note.setAttribute("role", "status");
  one("h2", step)!.after(note);
}

/** Draws all that above what a step says is to be done. */
export function drawFirst(step: HTMLElement, hand: Hand): void {
  ({ record } = hand);
  const { drawLeft, leftList } = hand;
  if (document.body.dataset.job && !record) return; // not read yet
  const left = record?.left ?? [];
  const box = (name: string, title: string): HTMLElement => {
    const div = make("div");
    div.setAttribute("role", "status");
    leftList(div, make("b", title));
    div.classList.add(name);
    (one(":scope > .minutes", step) ?? one("h2", step)!).after(div);
    return div;
  };
  tellFailed(step);
  const lines = lacking(step, left);
  const before = one(":scope > .before", step) ?? (lines[0] && box("before", word.job.first));
  if (before && one("ul", before)!.textContent !== lines.map((e) => e.textContent).join("")) one("ul", before)!.replaceChildren(...lines);
  if (before) before.hidden = !lines[0];
  const off = one(":scope > .off", step) ?? (stopping(step)[0] && box("off", word.job.leftFirst));
  if (off) drawLeft(one("ul", off)!, (id) => stops(step, id));
  // What surely stands by the sheet is what stands by the job.
  const fixed = one(".standing", step);
  if (!fixed) return;
  fixed.hidden = !left.length;
  put(fixed, fill(word.step.standing, { settings: left.map((id) => settingOf(id)[0]).join("; ") }));
}
