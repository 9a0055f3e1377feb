/** The script of the jobs page: all jobs of this phone, and one of them as a record. */

import { all, button, fill, make, one, put as putText } from "./dom";
import { change, edit, fillForm, keep, startForm } from "./jobs-form";
import { nameOf } from "./jobname";
import { asLine } from "./jobs-short";
import { asText, moment, setting, sheet, shown } from "./jobs-sheet";
import { canShare, canShareFile, copy, download, isSaved, markSaved, say, share, showShort } from "./jobs-save";
import { stand } from "./jobs-stand";
import { takeFiles, takeLink, takeText } from "./jobs-take";
import type { Job } from "./record";
import { current, lasting, list, makeCurrent, put, read, remove, settle, update } from "./records";
import { edition } from "./shell";
import { recall, remember } from "./store";

const pageTitle = document.title;
const heading = one("h1")!;
const listView = one(".jobs-list")!;
const jobView = one(".job")!;

/** The job that is shown, "" for none. */
let shownId = "";
/** How often the address was followed. */
let turns = 0;

const note = (name: string, text: string): HTMLElement => {
  const p = make("p", text);
  p.className = name;
  return p;
};

/** The link that goes on with a job; it is the one at hand from then on. */
function goOn(job: Job): HTMLElement | null {
  const { text, href } = stand(job);
  if (!href) return null;
  const link = make("a", job.entries.length ? word.jobs.goOn : word.jobs.choose);
  link.setAttribute("aria-label", `${link.textContent}: ${text}`);
  link.className = "big";
  link.setAttribute("href", href);
  link.addEventListener("click", () => {
    makeCurrent(job.id);
    if (job.machine.model) remember("model", job.machine.model);
  });
  return link;
}

function listed(job: Job): HTMLElement {
  const item = make("li");
  const { text, ended } = stand(job);
  const link = make("a");
  link.setAttribute("href", "#" + job.id);
  link.append(make("b", nameOf(job)));
  for (const line of [job.complaint, text, job.left.length && `${word.jobs.left}: ${job.left.map((id) => setting(id)[0]).join(", ")}`])
    if (line) link.append(make("span", line));
  const marks = [job.id === current() && word.jobs.current, job.closed && word.jobs.closedMark, ended && !isSaved(job) && word.jobs.unsavedMark];
  link.append(make("small", [moment(job.begun), ...marks].filter(Boolean).join(" · ")));
  item.append(link);
  const go = job.closed ? null : goOn(job);
  if (go) item.append(go);
  return item;
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

async function showList(): Promise<void> {
  edit("");
  shownId = "";
  const jobs = await list();
  jobs.sort((a, b) => Number(!!a.closed) - Number(!!b.closed) || Date.parse(b.begun) - Date.parse(a.begun));
  one("ul.jobs")!.replaceChildren(...jobs.map(listed), ...[...deleted.values()].map(bringBack));
  if (!jobs.length) one("ul.jobs")!.prepend(make("li", word.jobs.none));
  heading.textContent = word.jobs.title;
  document.title = pageTitle;
  listView.hidden = false;
  jobView.hidden = true;
  const kept = one(".kept")!;
  if (!(await lasting())) putText(kept, word.jobs.keptMemory);
  else {
    const sentences = [word.jobs.keptHere, location.protocol === "file:" && word.jobs.keptPage];
    if (jobs.length) sentences.push((await promised()) ? word.jobs.persists : word.jobs.persistsNot);
    putText(kept, sentences.filter(Boolean).join(" "));
  }
}

/** What is still to be put back, each with a key that says it is. */
function leftList(job: Job): HTMLElement[] {
  if (!job.left.length) return [];
  const ul = make("ul");
  ul.className = "left";
  for (const id of job.left) {
    const [title, restore] = setting(id);
    const item = make("li");
    const set = (left: (list: string[]) => string[]): Promise<void> => write((j) => change(j, { left: left(j.left) }));
    item.append(make("b", title), " ", restore, " ");
    item.append(
      button(word.jobs.putBack, () => {
        void set((list) => list.filter((x) => x !== id)).then(() => {
          say("");
          one(".said")!.append(
            fill(word.jobs.wasPutBack, { title }) + " ",
            button(word.jobs.undo, () => void set((list) => [...list.filter((x) => x !== id), id]).then(() => say(""))),
          );
        });
      }),
    );
    ul.append(item);
  }
  return [make("h2", word.jobs.left), ul];
}

/** A question in the page, asked in the place of the key that led to it. */
function ask(place: HTMLElement, question: string, ...answers: HTMLElement[]): void {
  const p = make("p");
  p.className = "keys";
  p.append(...answers, button(word.jobs.notNow, () => void refresh()));
  const asked = note("asked", question);
  asked.tabIndex = -1;
  place.replaceChildren(asked, p);
  asked.focus();
}

async function close(job: Job): Promise<void> {
  const saved = isSaved(job);
  await write((j) => {
    const closed = change(j, {});
    return { ...closed, closed: closed.changed };
  });
  const then = await read(job.id);
  // The closing alone is nothing that would have to be saved again.
  if (saved && then) markSaved(then);
  await refresh();
}

function closing(job: Job, place: HTMLElement): void {
  const keys = make("p");
  keys.className = "keys";
  if (job.closed) {
    keys.append(button(word.jobs.reopen, () => void write((j) => { const then = change(j, {}); delete then.closed; return then; }))); // prettier-ignore
  } else {
    keys.append(
      button(word.jobs.close, () => {
        if (job.left.length) say(word.jobs.closeLeft);
        else if (!job.entries.length || isSaved(job)) void close(job);
        else
          ask(
            place,
            word.jobs.closeUnsaved,
            button(word.jobs.saveAndClose, () => {
              void close(job).then(() => read(job.id)).then((then) => { if (then) download(then); void refresh(); }); // prettier-ignore
            }),
            button(word.jobs.closeAnyway, () => void close(job)),
          );
      }),
    );
  }
  keys.append(
    button(word.jobs.delete, () => {
      ask(place, word.jobs.deleteAsk, button(word.jobs.deleteYes, () => void erase(job)));
    }),
  );
  place.replaceChildren(keys);
}

/** Jobs that were deleted: as long as the page stands they can be brought back. */
const deleted = new Map<string, Job>();

function bringBack(job: Job): HTMLElement {
  const item = make("li", fill(word.jobs.deleted, { job: nameOf(job) }) + " ");
  const undo = async (): Promise<void> => {
    deleted.delete(job.id);
    await put(job);
    await showList();
  };
  item.append(button(word.jobs.undo, () => void undo()));
  return item;
}

async function erase(job: Job): Promise<void> {
  edit("");
  await remove(job.id);
  if (current() === job.id) makeCurrent("");
  deleted.set(job.id, job);
  say("");
  history.replaceState(null, "", location.pathname + location.search);
  await showList();
  all("ul.jobs li > button").pop()!.focus();
}

/** Changes the job that is shown, and shows it anew. */
async function write(f: (job: Job) => Job): Promise<void> {
  await update(shownId, (job) => job && f(job));
  await refresh();
}

/** What follows from the record, all but the form that it is typed into. */
function showRecord(job: Job): void {
  const { text, ended } = stand(job);
  const name = nameOf(job);
  heading.textContent = name;
  document.title = `${word.jobs.title} · ${name}`;
  const go = goOn(job);
  const stands = make("p", [text, job.closed && word.jobs.closedMark].filter(Boolean).join(" · "));
  stands.className = "stand";
  one(".stands")!.replaceChildren(stands, ...leftList(job), ...(go && !job.closed ? [go] : []));
  const unsaved = !isSaved(job);
  const state = one(".unsaved")!;
  putText(state, unsaved ? (ended ? word.jobs.unsaved : word.jobs.notEnded) : word.jobs.savedNow);
  const save = one(".save")!;
  save.toggleAttribute("data-insists", ended && unsaved);
  // At work the machine is what is still to be told, at the end the record is what is to be saved.
  const next = one(ended ? ".of-machine" : ".sheet", jobView)!;
  if (save.nextElementSibling !== next) next.before(save);
  one(".record")!.replaceChildren(...shown(sheet(job)));
  for (const key of all("[data-do^=share]")) key.hidden = key.dataset.do === "share" ? !canShare() : !canShareFile(job);
  putText(one(".no-share")!, !canShare() ? word.jobs.noShare : canShareFile(job) ? "" : word.jobs.noShareFile);
  if (one<HTMLDetailsElement>(".short")!.open) showShort(job);
  closing(job, one(".close")!);
}

async function refresh(): Promise<void> {
  const job = await read(shownId);
  if (job) showRecord(job);
}

async function showJob(id: string): Promise<void> {
  const job = await read(id);
  if (!job) {
    await showList();
    say(word.jobs.missing);
    return;
  }
  shownId = id;
  fillForm(job);
  edit(id);
  listView.hidden = true;
  jobView.hidden = false;
  showRecord(job);
}

/** Shows what the address names, from the top. */
async function turn(): Promise<void> {
  const before = jobView.hidden ? "" : shownId;
  await settle();
  await keep();
  say("");
  const hash = location.hash.slice(1);
  const linked = await takeLink(hash);
  const id = linked && typeof linked === "object" ? linked.id : hash;
  if (id !== hash) history.replaceState(null, "", "#" + id);
  if (/^[0-9a-f]{32}$/.test(id)) await showJob(id);
  else await showList();
  if (turns++ && before !== shownId) {
    scrollTo(0, 0);
    heading.focus({ preventScroll: true });
  }
  if (typeof linked === "string") say(linked);
  else if (linked?.came) say(word.jobs.came);
}

async function begin(): Promise<void> {
  const id = [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
  const now = new Date().toISOString();
  const { title = "", edition: name = "", date } = edition ?? {};
  await put({
    record: 1, id, handbook: { title, edition: name, ...(date && { date }), language: document.documentElement.lang },
    machine: {}, begun: now, changed: now, entries: [], ruledOut: [], findings: [], left: [],
  }); // prettier-ignore
  makeCurrent(id);
  location.hash = id;
}

/** The keys. Each acts on the record as it stands when the last entry is kept. */
async function press(what: string): Promise<void> {
  if (what === "new") return begin();
  const pasted = one<HTMLTextAreaElement>("[name=pasted]")!;
  if (what === "take") {
    one(".taken-in")!.replaceChildren();
    await takeText(pasted.value, word.jobs.pastedName, () => void showList());
    return;
  }
  const job = (await keep()) ?? (await read(shownId));
  if (!job) return;
  const text = (): string => asText(nameOf(job), sheet(job));
  if (what === "file") download(job);
  else if (what === "share") await share(job, { title: nameOf(job), text: text() });
  else if (what === "shareFile") await share(job);
  else if (what === "copy") (await copy(text())) && markSaved(job);
  else if (what === "copyShort") await copy(asLine(job));
  else if (what === "print") print();
  await refresh();
}

heading.tabIndex = -1;
startForm((id) => id === current(), showRecord);
document.body.addEventListener("click", (e) => {
  const key = (e.target as HTMLElement).closest<HTMLElement>("[data-do]");
  if (key) void press(key.dataset.do!);
});
one<HTMLInputElement>("input[type=file]")!.addEventListener("change", (e) => {
  const input = e.target as HTMLInputElement;
  void takeFiles([...(input.files ?? [])], () => void showList()).then(() => (input.value = ""));
});
one(".short")!.addEventListener("toggle", () => void refresh());
addEventListener("hashchange", () => void turn());
// The way back from a procedure may bring the page as it was.
addEventListener("pageshow", (e) => e.persisted && void turn());
void turn();
