/** All jobs of this phone: open ones first, the newest first. */

import { all, button, fill, make, one, put as putText } from "./dom";
import { headOf, nameOf } from "./jobname";
import { isSaved } from "./jobs-save";
import { goOn, isShort, pageTitle, stand } from "./jobs-stand";
import { linkTo } from "./place";
import type { Job } from "./record";
import { current, lasting, list, makeCurrent, put, remove } from "./records";
import { stands } from "./stands";
import { recall, remember } from "./store";
import { dated } from "./time";

/** Of many jobs so many are shown until all are asked for. */
let most = 10;

const field = one<HTMLInputElement>("[name=find]")!;
const more = one(".more")!;

/** Jobs that were deleted, with what was kept of them: as long as the page stands they can be brought back. */
const deleted = new Map<string, [Job, [key: string, value: string][]]>();

function listed(job: Job): HTMLElement {
  const item = make("li");
  const { text, ended } = stand(job);
  const link = make("a");
  link.setAttribute("href", linkTo("#" + job.id));
  link.append(make("b", headOf(job)));
  // Every procedure that has an answer of the job; the line of where it stands may name one.
  const sheets = [...new Set(job.entries.map((e) => pageTitle(e.page)))].filter((title) => !text.includes(title));
  for (const line of [job.complaint, sheets.join(" → "), text, stands(job)]) if (line) link.append(make("span", line));
  const marks = [job.id === current() && word.jobs.current, job.closed && word.jobs.closedMark, ended && !isSaved(job) && word.jobs.unsavedMark, isShort(job) && word.jobs.shortened];
  link.append(make("small", [dated(job.begun), ...marks].filter(Boolean).join(" · ")));
  item.append(link);
  const go = job.closed ? null : goOn(job);
  if (go) item.append(go);
  return item;
}

function told(text: string): HTMLElement {
  const item = make("li", text);
  item.className = "told";
  return item;
}

function bringBack([job, kept]: [Job, [key: string, value: string][]]): HTMLElement {
  const item = told(fill(word.jobs.deleted, { job: nameOf(job) }) + " ");
  item.append(
    button(word.job.undo, async () => {
      deleted.delete(job.id);
      for (const [key, value] of kept) localStorage.setItem(key, value);
      await put(job);
      await drawList();
    }),
  );
  return item;
}

export async function erase(job: Job): Promise<void> {
  if (current() === job.id) makeCurrent("");
  deleted.set(job.id, [job, await remove(job.id)]);
  await drawList();
  all("ul.jobs li > button").pop()!.focus();
}

/** Asks the browser once to keep what it stores; says what it answered. */
async function promised(): Promise<boolean> {
  try {
    if (await navigator.storage.persisted()) return true;
    if (recall("persist")) return false;
    remember("persist", true);
    return await navigator.storage.persist();
  } catch {
    return false; // a page from a file, or over plain http
  }
}

/** Where the records are, and how long they last there. */
async function kept(any: boolean): Promise<string> {
  if (!(await lasting())) return word.jobs.keptMemory;
  const sentences = [word.jobs.keptHere];
  if (!bound && location.protocol === "file:") sentences.push(word.jobs.keptPage);
  if (any) sentences.push((await promised()) ? word.jobs.persists : word.jobs.persistsNot);
  return sentences.join(" ");
}

/** Shows the jobs that have what is sought, the first ones of many. */
function sift(): void {
  let count = 0;
  for (const item of all("ul.jobs li:not(.told)")) {
    item.hidden = !item.textContent!.toLowerCase().includes(field.value.toLowerCase().trim()) || ++count > most;
  }
  more.hidden = count <= most;
  one(".told")!.hidden = !field.value || count > 0;
}

field.oninput = sift;
more.onclick = () => {
  most = Infinity;
  sift();
};

export async function drawList(): Promise<void> {
  const jobs = await list();
  jobs.sort((a, b) => +!!a.closed - +!!b.closed || Date.parse(b.begun) - Date.parse(a.begun));
  const items = jobs.length ? jobs.map(listed) : [told(word.jobs.none)];
  one("ul.jobs")!.replaceChildren(...items, ...[...deleted.values()].map(bringBack));
  if (jobs.length > most) field.closest("p")!.hidden = false; // and stays, for what is sought in it
  sift();
  // A browser may ask its user first; the list does not wait for the answer.
  void kept(jobs.length > 0).then((text) => putText(one(".kept")!, text));
}
