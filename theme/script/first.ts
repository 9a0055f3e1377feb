/** What comes before a step: what stops it is put back, and what it requires is put off or fitted. */

import { all, fill, ids, make, one, put } from "./dom";
import { lastOther } from "./journal";
import { linkTo } from "./place";
import type { Job } from "./record";

/** What the script of jobs knows and does. */
export interface Hand {
  record: Job | undefined;
  drawLeft(list: HTMLElement, among: (setting: string) => boolean): void;
  leftList(box: HTMLElement, title: HTMLElement): HTMLElement;
  settingOf(id: string): [title: string, restore: string, states?: string];
}

let record: Job | undefined;
/** A setting's title, how it is put back, and the engine states that allow it. */
export let settingOf: Hand["settingOf"];
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

/** A wait that one is tempted to cut short: an engine that cools, not one that warms up. */
const longWait = 30;

/** Says so where a check comes before the engine can be in the state that it wants; it is the technician's to answer even so. */
function warnSoon(card: HTMLElement): void {
  one(".too-soon", card)?.remove();
  delete card.dataset.since;
  const [usual, ...from] = card.dataset.minutes?.split(" ") ?? [];
  const [e, minutes] = (record && lastOther(record, card.dataset.state, new Date().toISOString())) ?? [];
  if (!usual || !e) return;
  const wanted = from.find((f) => f.startsWith(e.state + ":"))?.split(":")[1] ?? usual;
  if (Number(wanted) < longWait || minutes! >= Number(wanted)) return;
  const values = { number: String(e.number), minutes: String(minutes), wanted };
  card.dataset.since = fill(word.job.since, values);
  const note = make("p", card.dataset.since);
  note.className = "recalled too-soon";
  note.setAttribute("role", "status");
  one("h2", card)!.after(note);
}

/** Draws all that above what a step says is to be done. */
export function drawFirst(step: HTMLElement, hand: Hand): void {
  ({ record, settingOf } = hand);
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
  warnSoon(step);
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
