/** One job: where it stands, what is still to be put back, its record and its end. */

import { all, button, fill, make, one, put as putText } from "./dom";
import { headOf } from "./jobname";
import { change } from "./jobs-form";
import { canShare, canShareFile, download, isSaved, markSaved, say } from "./jobs-save";
import { goOn, isShort, stand } from "./jobs-stand";
import { standing } from "./journal";
import type { Job } from "./record";
import { forgetRead } from "./readings";
import { lasting, read, update } from "./records";
import { settingOf } from "./stands";

const view = one(".job")!;

/** The job that is shown. */
export let job: Job | undefined;

/** Whether records outlive the page; the browser answers later. */
let lasts = true;
void lasting().then((yes) => {
  lasts = yes;
  if (job) show(job);
});

/** What is asked about the job instead of its last keys. */
let question: HTMLElement[] | null = null;

/** Puts elements in a place, unless they stand there: what a finger is on must not be exchanged below it. */
function draw(place: HTMLElement, elements: HTMLElement[]): void {
  const box = make("div");
  box.append(...elements);
  if (box.innerHTML !== place.innerHTML) place.replaceChildren(...box.childNodes);
}

function note(name: string, text: string): HTMLElement {
  const p = make("p", text);
  p.className = name;
  return p;
}

function keys(...buttons: HTMLElement[]): HTMLElement {
  const p = note("keys", "");
  p.append(...buttons);
  return p;
}

/** Changes the job that is shown, and shows it anew. */
async function write(f: (job: Job) => Job): Promise<void> {
  const then = job && (await update(job.id, (stored) => stored && f(stored)));
  if (then) show(then);
}

/** What is still to be put back, each with a key that says it is. */
function leftList(left: string[]): HTMLElement[] {
  if (!left.length) return [];
  const list = make("ul");
  list.className = "left";
  for (const id of left) {
    const [title, restore] = settingOf(id);
    const set = (restores: string[], sets: string[]): Promise<void> => {
      forgetRead(job!.id);
      return write((j) => standing(j, restores, sets, new Date().toISOString()));
    };
    const back = async (): Promise<void> => {
      await set([id], []);
      say(fill(word.jobs.wasPutBack, { title }));
      const undo = button(word.job.undo, () => {
        say("");
        void set([], [id]);
      });
      one(".said")!.append(" ", undo);
      undo.focus({ preventScroll: true });
    };
    const item = make("li");
    item.append(make("b", title), " ", restore, " ", button(word.jobs.putBack, () => void back()));
    list.append(item);
  }
  return [make("h2", word.job.left), list];
}

/** Asks in the place of the key that led to the question. */
function ask(text: string, ...answers: HTMLElement[]): void {
  const asked = note("asked", text);
  asked.tabIndex = -1;
  const not = button(word.jobs.notNow, () => {
    question = null;
    drawEnd();
    focusEnd();
  });
  question = [asked, keys(...answers, not)];
  drawEnd();
  asked.focus();
}

const focusEnd = (): void => one(".close button")!.focus();

async function close(): Promise<void> {
  question = null;
  const saved = isSaved(job!);
  await write((j) => {
    const then = change(j);
    return { ...then, closed: then.changed };
  });
  // The closing alone is nothing that would have to be saved again.
  if (saved) markSaved(job!);
  show(job!);
  focusEnd();
}

async function saveAndClose(): Promise<void> {
  await close();
  download(job!);
  show(job!);
}

function pressClose(): void {
  if (job!.left.length) say(word.jobs.closeLeft);
  else if (!job!.entries.length || isSaved(job!)) void close();
  else ask(word.jobs.closeUnsaved, button(word.jobs.saveAndClose, () => void saveAndClose()), button(word.jobs.closeAnyway, () => void close()));
}

async function reopen(): Promise<void> {
  await write((j) => {
    const { closed: _, ...then } = change(j);
    return then;
  });
  focusEnd();
}

/** Called with the job that shall be deleted. */
let onDelete: (job: Job) => void;

export const startOne = (erase: (job: Job) => void): void => void (onDelete = erase);

/** The last keys, or what is asked in their place. */
function drawEnd(): void {
  const close = job!.closed ? button(word.jobs.reopen, () => void reopen()) : button(word.jobs.close, pressClose);
  const erase = button(word.jobs.delete, () => ask(word.jobs.deleteAsk, button(word.jobs.deleteYes, () => onDelete(job!))));
  draw(one(".close")!, question ?? [keys(close, erase)]);
}

function drawSave(ended: boolean): void {
  const save = one(".save")!;
  const unsaved = !isSaved(job!);
  const risk = !lasts ? word.jobs.keptMemory : ended ? word.jobs.unsaved : word.jobs.notEnded;
  putText(one(".unsaved")!, unsaved ? risk : word.jobs.savedNow);
  save.toggleAttribute("data-insists", ended && unsaved);
  // At work the machine is what is still to be told, at the end the record is what is to be saved.
  const next = one(ended ? ".of-machine" : ".sheet", view)!;
  if (save.nextElementSibling !== next) next.before(save);
  for (const key of all("[data-do^=share]")) key.parentElement!.hidden = key.dataset.do === "share" ? !canShare() : !canShareFile(job!);
  putText(one(".no-share")!, !canShare() ? word.jobs.noShare : canShareFile(job!) ? "" : word.jobs.noShareFile);
  if (one<HTMLDetailsElement>(".short")!.open) window.benchleafRecord?.showShort(job!);
}

/** Shows all that follows from a record; the form is left to the one who types. */
export function show(next: Job): void {
  if (next.id !== job?.id) question = null;
  job = next;
  const { text, ended } = stand(job);
  const name = headOf(job);
  putText(one("h1")!, name);
  document.title = `${word.jobs.title} · ${name}`;
  const where = note("stand", [text, job.closed && word.jobs.closedMark, isShort(job) && word.jobs.shortened].filter(Boolean).join(" · "));
  const go = job.closed ? null : goOn(job);
  draw(one(".stands")!, [where, ...leftList(job.left), ...(go ? [go] : [])]);
  drawSave(ended);
  draw(one(".record")!, window.benchleafRecord?.asSheet(job) ?? []);
  if (whole) drawEnd();
}

/** The script of what follows from a record is there, or cannot be had. What stands below the record waits for that: it would move. */
let whole = false;
addEventListener("DOMContentLoaded", () => {
  whole = true;
  if (job) show(job);
});

/** Shows a job as it is stored; false where it is not. */
export async function open(id: string): Promise<boolean> {
  const stored = await read(id);
  if (stored) show(stored);
  return !!stored;
}

export function leave(): void {
  job = undefined;
}
