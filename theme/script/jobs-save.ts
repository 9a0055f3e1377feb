/** Ways out of the phone: a file, a text, a short line. What went out as a file or was shared is saved, until the record changes again; what is only copied is not. */

import { fill, make, one, put } from "./dom";
import type { Job } from "./record";
import { recall, remember } from "./store";

export const isSaved = (job: Job): boolean => recall<string>(`saved ${job.id}`) === job.changed;

export const markSaved = (job: Job): unknown => remember(`saved ${job.id}`, job.changed);

/** Says what was done, in the page's line for it. */
export function say(text: string): void {
  put(one(".said")!, text);
}

/** The record as a file holds it. */
const asFile = (job: Job): string => JSON.stringify(job, null, 1) + "\n";

/** A name for its file that every system takes. */
function fileName(job: Job, ending: string): string {
  const { model, serial } = job.machine;
  const parts = ["job", model, serial, job.begun.slice(0, 10), job.id.slice(0, 4)];
  return parts.filter(Boolean).join("-").replace(/[^-\w.]+/g, "_") + ending;
}

export function download(job: Job): void {
  const link = make("a") as HTMLAnchorElement;
  link.href = URL.createObjectURL(new Blob([asFile(job)], { type: "application/json" }));
  link.download = fileName(job, ".json");
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60e3);
  markSaved(job);
  say(fill(word.jobs.filed, { name: link.download }));
}

/** As a text file: phones do not share others of this kind. */
const shared = (job: Job): ShareData => ({ files: [new File([asFile(job)], fileName(job, ".txt"), { type: "text/plain" })] });

export const canShare = (): boolean => "share" in navigator;

export function canShareFile(job: Job): boolean {
  try {
    return navigator.canShare(shared(job));
  } catch {
    return false;
  }
}

/** Shares; whoever closes the phone's sheet has shared nothing. */
export async function share(job: Job, what: ShareData = shared(job)): Promise<void> {
  try {
    await navigator.share(what);
    markSaved(job);
    say(word.jobs.shared);
  } catch (e) {
    if ((e as Error).name !== "AbortError") say(word.jobs.noShare);
  }
}

export async function copy(text: string): Promise<boolean> {
  let done = false;
  try {
    await navigator.clipboard.writeText(text);
    done = true;
  } catch {
    // Over plain http, and where a browser asks first: the old way.
    const area = make("textarea") as HTMLTextAreaElement;
    area.value = text;
    document.body.append(area);
    area.select();
    done = document.execCommand("copy");
    area.remove();
  }
  say(done ? word.jobs.copied : word.jobs.copyFailed);
  return done;
}
