/**
 * The records that the browser keeps, in its own database. Where it refuses,
 * they last as long as the page, and lasting says so.
 */

import { nameInBar } from "./jobname";
import { done } from "./journal";
import type { Job } from "./record";
import { stands } from "./stands";
import { here } from "./place";
import { recall, remember } from "./store";

const store = "records";

/** What stands in for the database, as long as the page where the browser stores nothing at all. */
let memory: Record<string, Job> = {};
const held = (): Record<string, Job> => recall<Record<string, Job>>("records") ?? memory;

function hold(id: string, job?: Job): void {
  memory = { ...held(), [id]: job! };
  if (!job) delete memory[id];
  remember("records", memory);
}

const opened: Promise<IDBDatabase | null> = new Promise((done) => {
  try {
    const request = indexedDB.open("benchleaf", 1);
    request.onupgradeneeded = () => request.result.createObjectStore(store);
    request.onsuccess = () => done(request.result);
    request.onerror = request.onblocked = () => done(null);
  } catch {
    done(null);
  }
});

const keyOf = (id: string): string[] => [here, id];

/**
 * Does something with the store and gives what get says once the transaction
 * stands; null where there is no database, or it fails.
 */
async function transact<T>(mode: IDBTransactionMode, act: (s: IDBObjectStore, get: (value: T) => void) => void): Promise<[T] | null> {
  const db = await opened;
  return new Promise((done) => {
    try {
      let result: [T] | null = null;
      const t = db!.transaction(store, mode);
      t.oncomplete = () => done(result);
      t.onerror = t.onabort = () => done(null);
      act(t.objectStore(store), (value) => (result = [value]));
    } catch {
      done(null);
    }
  });
}

/** Whether records outlive the page. */
export async function lasting(): Promise<boolean> {
  if (await opened) return true;
  remember("stores", true);
  return !!recall("stores");
}

/** All records of this handbook, in no order. */
export async function list(): Promise<Job[]> {
  const found = await transact<Job[]>("readonly", (s, get) => {
    // An array is greater than every text, so that this is the range of all keys that begin with the place.
    const request = s.getAll(IDBKeyRange.bound([here], [here, []]));
    request.onsuccess = () => get(request.result as Job[]);
  });
  return found ? found[0] : Object.values(held());
}

export async function read(id: string): Promise<Job | undefined> {
  const found = await transact<Job | undefined>("readonly", (s, get) => {
    const request = s.get(keyOf(id));
    request.onsuccess = () => get(request.result as Job | undefined);
  });
  return found ? found[0] : held()[id];
}

/**
 * Changes a record in one transaction, so that what another page has written
 * meanwhile is not lost. f gives the record anew, or nothing to leave it as it is.
 */
export async function update(id: string, f: (job: Job | undefined) => Job | void): Promise<Job | undefined> {
  const found = await transact<Job | undefined>("readwrite", (s, get) => {
    const request = s.get(keyOf(id));
    request.onsuccess = () => {
      const job = f(request.result as Job | undefined);
      if (job) s.put(job, keyOf(id));
      get(job ?? (request.result as Job | undefined));
    };
  });
  let job = found?.[0];
  if (!found) {
    job = f(held()[id]) ?? held()[id];
    if (job) hold(id, job);
  }
  if (job) remember(`bar ${id}`, [nameInBar(job), stands(job), job.machine.model ?? "", done(job)]);
  if (job?.closed && current() === id) makeCurrent("");
  return job;
}

export const put = async (job: Job): Promise<void> => void (await update(job.id, () => job));

export async function remove(id: string): Promise<void> {
  if (held()[id]) hold(id);
  await transact<void>("readwrite", (s) => void s.delete(keyOf(id)));
}

/**
 * Keeps a record at once, until its transaction stands: a page that is left or
 * killed meanwhile loses nothing. null: it stands.
 */
export const pend = (job: Job | null): void => remember("pending", job);

/** Writes what a killed page left behind; to be awaited before anything is read. */
export async function settle(): Promise<void> {
  const job = recall<Job>("pending");
  if (!job) return;
  await update(job.id, (stored) => (stored && stored.changed > job.changed ? undefined : job));
  pend(null);
}

/** The job at hand, "" where the next answer begins one. */
export const current = (): string => recall<string>("job") ?? "";

/** What the bar of a page without the records says of a job. */
const barOf = (id: string): [name: string, stands: string, model: string, done: boolean] | null => recall(`bar ${id}`);

/** Whether nothing is left to do at a job's machine, as the last page that wrote its record has it. */
export const isDone = (id: string): boolean => barOf(id)?.[3] ?? false;

/** Another job has another machine: the model of the last one goes with it, unless one was chosen since. */
export function makeCurrent(id: string): void {
  const last = barOf(current());
  if (id !== current() && last?.[2] && last[2] === recall("model")) remember("model", barOf(id)?.[2] ?? "");
  remember("job", id);
}
