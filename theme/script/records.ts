/**
 * The records that the browser keeps, in its own database. Where it refuses,
 * they last as long as the page, and lasting says so.
 */

import { nameInBar } from "./jobname";
import { done } from "./journal";
import type { Job } from "./record";
import { stands } from "./stands";
import { here } from "./place";
import { forget, recall, remember } from "./store";

const store = "records";

/** What the database has not taken, as long as the page where the browser stores nothing at all. */
let memory: Record<string, Job> = {};
/** Whether the browser has stored that. */
let stored = true;
const held = (): Record<string, Job> => (stored && recall<Record<string, Job>>("records")) || memory;

function hold(id: string, job?: Job): void {
  memory = { ...held(), [id]: job! };
  if (!job) delete memory[id];
  stored = remember("records", memory);
}

/** Of a record in the database and one that it has not taken, the one that was changed last. */
const newest = (job: Job | undefined, other: Job | undefined): Job | undefined => (job && !(other?.changed! >= job.changed) ? job : other);

const opened = new Promise<IDBDatabase | undefined>((done: (db?: IDBDatabase) => void) => {
  try {
    const request = indexedDB.open("benchleaf", 1);
    request.onupgradeneeded = () => request.result.createObjectStore(store);
    request.onsuccess = () => done(request.result);
    request.onerror = request.onblocked = () => done();
  } catch {
    done();
  }
});

const keyOf = (id: string): string[] => [here, id];

/**
 * Does something with the store and gives what get says once the transaction
 * stands; nothing where there is no database, or it fails.
 */
async function transact<T>(mode: IDBTransactionMode, act: (s: IDBObjectStore, get: (value: T) => void) => void): Promise<[T] | undefined> {
  const db = await opened;
  return new Promise((done: (result?: [T]) => void) => {
    try {
      let result: [T] | undefined;
      const t = db!.transaction(store, mode);
      t.oncomplete = () => done(result);
      t.onerror = t.onabort = () => done();
      act(t.objectStore(store), (value) => (result = [value]));
    } catch {
      done();
    }
  });
}

/** Whether records outlive the page: a write is tried in the database, else one of their size in what stands in for it. */
export async function lasting(): Promise<boolean> {
  const tried = await transact<void>("readwrite", (s, get) => {
    s.put(0, here);
    s.delete(here);
    get();
  });
  return !!tried || (remember("stores", here.padEnd(1e4)) && remember("stores", null) && stored);
}

/** All records of this handbook, in no order. */
export async function list(): Promise<Job[]> {
  const found = await transact<Job[]>("readonly", (s, get) => {
    // An array is greater than every text, so that this is the range of all keys that begin with the place.
    const request = s.getAll(IDBKeyRange.bound([here], [here, []]));
    request.onsuccess = () => get(request.result as Job[]);
  });
  const jobs = { ...held() };
  for (const job of found?.[0] ?? []) jobs[job.id] = newest(job, jobs[job.id])!;
  return Object.values(jobs);
}

export async function read(id: string): Promise<Job | undefined> {
  const found = await transact<Job | undefined>("readonly", (s, get) => {
    const request = s.get(keyOf(id));
    request.onsuccess = () => get(request.result as Job | undefined);
  });
  return newest(found?.[0], held()[id]);
}

/**
 * Changes a record in one transaction, so that what another page has written
 * meanwhile is not lost. f gives the record anew, or nothing to leave it as it is.
 */
export async function update(id: string, f: (job: Job | undefined) => Job | void): Promise<Job | undefined> {
  const found = await transact<Job | undefined>("readwrite", (s, get) => {
    const request = s.get(keyOf(id));
    request.onsuccess = () => {
      const old = newest(request.result as Job | undefined, held()[id]);
      const job = f(old) ?? old;
      if (job !== request.result) s.put(job, keyOf(id));
      get(job);
    };
  });
  let job = found?.[0];
  if (!found) {
    const old = await read(id);
    job = f(old) ?? old;
    if (job !== old) hold(id, job);
  } else if (held()[id]) hold(id);
  if (job) remember(`bar ${id}`, [nameInBar(job), stands(job), job.machine.model, done(job), job.machine.serial]);
  if (job?.closed && current() === id) makeCurrent("");
  return job;
}

export const put = async (job: Job): Promise<void> => void (await update(job.id, () => job));

/** Removes a record and all that is kept of its job; gives that. */
export async function remove(id: string): Promise<[key: string, value: string][]> {
  if (held()[id]) hold(id);
  await transact<void>("readwrite", (s) => void s.delete(keyOf(id)));
  return forget((key) => key.includes(here) && key.includes(id));
}

/**
 * Keeps a record at once, until its transaction stands: a page that is left or
 * killed meanwhile loses nothing. null: it stands, if it does.
 */
export const pend = (job: Job | null): void => void ((job || stored) && remember("pending", job));

/** Writes what a killed page left behind, and what the database has not taken; to be awaited before anything is read. */
export async function settle(): Promise<void> {
  const job = recall<Job>("pending");
  // What has another shape is no record.
  if (job?.changed) {
    await update(job.id, (old) => (old && old.changed > job.changed ? undefined : job));
    pend(null);
  }
  for (const id in held()) await update(id, () => {});
}

/** The job at hand, "" where the next answer begins one. */
export const current = (): string => recall<string>("job") ?? "";

// Where other jobs stood on their pages is made good from their records; a watch that still runs for one is not.
window.benchleafRoom = () => {
  const others = RegExp(` (way|timing|bar) (?!${current() || "-"})[0-9a-f]{32}`);
  return !!forget((key) => others.test(key))[0];
};

/** What the bar of a page without the records says of a job. */
const barOf = (id: string): [name: string, stands: string, model: string | null, done: boolean] | null => recall(`bar ${id}`);

/** Whether nothing is left to do at a job's machine, as the last page that wrote its record has it. */
export const isDone = (id: string): boolean => !!barOf(id)?.[3];

/** Another job has another machine: the model of the last one goes with it, unless one was chosen since. */
export function makeCurrent(id: string): void {
  const last = barOf(current());
  if (id !== current() && last?.[2] && last[2] === recall("model")) remember("model", barOf(id)?.[2]);
  remember("job", id);
}
