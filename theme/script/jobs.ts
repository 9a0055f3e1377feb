/** The script of the jobs page: all jobs of this phone, or the one that the address names. */

import "./lend-first";
import "./lend-jobs";
import { begun, newId } from "./begun";
import { one } from "./dom";
import { edit, fillForm, keep, startForm } from "./jobs-form";
import { drawList, erase } from "./jobs-list";
import { job, leave, open, show, startOne } from "./jobs-one";
import { copy, download, say, share } from "./jobs-save";
import { asLine } from "./jobs-short";
import { takeFiles, takeLink, takeText } from "./jobs-take";
import { nameOf } from "./jobname";
import { fragment, linkTo, pageAddress } from "./place";
import type { Job } from "./record";
import { lasting, makeCurrent, put, settle } from "./records";
import "./back";
import "./shell";
import { remember } from "./store";

const title = document.title;
const heading = one("h1")!;

async function showList(): Promise<void> {
  leave();
  edit("");
  await drawList();
  heading.textContent = word.jobs.title;
  document.title = title;
  one(".jobs-list")!.hidden = false;
  one(".job")!.hidden = true;
}

function showJob(): void {
  fillForm(job!);
  edit(job!.id);
  one(".jobs-list")!.hidden = true;
  one(".job")!.hidden = false;
}

/** How often the address was followed. */
let turns = 0;

/** Shows what the address names, from the top. */
async function turn(): Promise<void> {
  const before = job?.id;
  const hash = fragment();
  if (hash === "_sheet") return history.replaceState(null, "", linkTo(job ? "#" + job.id : "#_jobs")); // who skips to the sheet stays on it
  await settle();
  await keep();
  say("");
  const linked = await takeLink(hash);
  const id = linked && typeof linked === "object" ? linked.id : hash;
  const kept = await lasting();
  // A record that is only in memory stays in the address: the page may be loaded again.
  if (id !== hash && kept) history.replaceState(null, "", linkTo("#" + id));
  const named = /^[0-9a-f]{32}$/.test(id);
  if (named && (await open(id))) showJob();
  else await showList();
  if (turns++ && before !== job?.id) {
    scrollTo(0, 0);
    heading.focus({ preventScroll: true });
  }
  if (typeof linked === "string") say(linked);
  else if (linked?.came) say(kept ? word.jobs.came : word.jobs.keptMemory);
  else if (named && !job) say(word.jobs.missing);
}

async function begin(): Promise<void> {
  const id = newId();
  await put(begun(id));
  makeCurrent(id);
  remember("model", ""); // whichever was chosen, it was for another machine
  location.hash = linkTo("#" + id);
}

async function forget(gone: Job): Promise<void> {
  history.replaceState(null, "", linkTo(pageAddress().replace(/#.*/s, "")));
  say("");
  await showList();
  await erase(gone);
}

/** The keys. Each acts on the record as it stands when the last entry is kept. */
async function press(what: string): Promise<void> {
  if (what === "new") return begin();
  if (what === "take") {
    one(".taken-in")!.replaceChildren();
    return takeText(one<HTMLTextAreaElement>("[name=pasted]")!.value, word.jobs.pastedName, () => void showList());
  }
  await keep();
  if (!job) return;
  const text = (): string => window.benchleafRecord?.asText(job!) ?? asLine(job!);
  if (what === "file") download(job);
  else if (what === "share") await share(job, { title: nameOf(job), text: text() });
  else if (what === "shareFile") await share(job);
  else if (what === "copy") await copy(text());
  else if (what === "copyShort") await copy(asLine(job));
  else if (what === "print") print();
  show(job);
}

heading.tabIndex = -1;
startForm(
  (kept) => {
    if (kept.id === job?.id) show(kept);
  },
  () => job,
);
startOne((gone) => void forget(gone));
document.body.onclick = (e) => {
  const key = (e.target as HTMLElement).closest<HTMLElement>("[data-do]");
  if (key) void press(key.dataset.do!);
};
one<HTMLInputElement>("input[type=file]")!.onchange = (e) => {
  const input = e.target as HTMLInputElement;
  void takeFiles([...(input.files ?? [])], () => void showList()).then(() => (input.value = ""));
};
one(".short")!.ontoggle = () => job && show(job);
onhashchange = turn;
// The way back from a procedure may bring the page as it was.
onpageshow = (e) => e.persisted && turn();
void turn();
