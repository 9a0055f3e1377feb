/** What comes before a step: what stops it is put back, and what it requires is put off or fitted. */

import { all, fill, ids, make, one, put } from "./dom";
import { record } from "./hand";
import { drawLeft, leftList } from "./jobleft";
import { linkTo } from "./place";
import { settingOf } from "./stands";

let shown: HTMLElement | undefined;
/** What the step that is shown lacked: it is on the list once something is typed, and stays in sight until it is answered. */
let lacked: string[] = [];

document.addEventListener("benchleaf-answer", () => (shown = undefined));

export const titles = (settings: string[]): string => settings.map((id) => settingOf(id)[0]).join(word.list.semicolon);

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

/** What a step requires and nobody on this job has done: who comes by a label, a search or a link has passed the steps by that set it. */
export const lacking = (step: HTMLElement): string[] =>
  ids(step.dataset.requires).filter((id) => (shown === step && lacked.includes(id)) || !record?.left.includes(id));

/** What a step lacks, in paragraphs as the page has them. */
function lines(step: HTMLElement): HTMLElement[] {
  lacked = lacking(step);
  shown = step;
  const by = new Map<HTMLElement | undefined, string[]>();
  for (const id of lacked) {
    const from = setBy(id, step);
    by.set(from, [...(by.get(from) ?? []), settingOf(id)[0]]);
  }
  return [...by].map(([from, titles]) => {
    const p = make("p", titles.join(word.list.semicolon));
    if (!from) return p;
    const link = make("a", one("h2", from)!.textContent!.trim());
    link.setAttribute("href", linkTo("#" + from.id));
    p.append(": ", link);
    return p;
  });
}

/** What each step's line of settings says in the page. */
const begins = new Map<HTMLElement, string>();

/** Draws all that above what a step says is to be done. Where there is no job, it stays as the page has it: nothing there moves. */
export function drawFirst(step: HTMLElement): void {
  if (document.body.dataset.job && !record) return; // not read yet
  const left = record?.left ?? [];
  const lacks = lines(step);
  const before = one(":scope > .before", step);
  if (before) {
    const told = all("p", before);
    const text = (list: HTMLElement[]): string => list.map((e) => e.textContent).join("");
    if (text(told) !== text(lacks)) {
      for (const p of told) p.remove();
      before.append(...lacks);
    }
    before.hidden = !lacks[0];
  }
  let off = one(":scope > .off", step);
  if (!off && stopping(step)[0]) {
    off = make("div");
    off.setAttribute("role", "status");
    leftList(off, make("b", word.job.leftFirst));
    off.classList.add("off");
    (one(":scope > .minutes", step) ?? one("h2", step)!).after(off);
  }
  if (off) drawLeft(one("ul", off)!, (id) => stops(step, id));
  // What surely stands by the sheet is what stands by the job.
  const fixed = one(".standing", step);
  if (!fixed) return;
  const said = begins.get(fixed) ?? fixed.textContent!;
  begins.set(fixed, said);
  fixed.hidden = record ? !left.length || !!lacks[0] : !said;
  put(fixed, record ? fill(word.step.standing, { settings: titles(left) }) : said);
}
