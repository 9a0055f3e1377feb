/** Records from outside: from files, from a text, with a link. */

import { beside, load } from "./beside";
import { fill, make, one } from "./dom";
import { nameOf } from "./jobname";
import { asLine } from "./jobs-short";
import { isShort, reach } from "./jobs-stand";
import { layOut } from "./layout";
import { linkTo } from "./place";
import type { Job } from "./record";
import { current, makeCurrent, put, read, update } from "./records";
import { recall, remember } from "./store";

/** Reads a record, by a script that is loaded for it; a text is the reason why it is none. */
const decode = (source: string): Promise<Job | string> =>
  new Promise((done) => {
    const read = (): void => done(window.benchleafRead?.(source) ?? word.jobs.badLoad);
    if (window.benchleafRead) read();
    else load(beside("read"), read);
  });

/** Whether two values of JSON say the same. */
const same = (a: unknown, b: unknown): boolean =>
  a === b ||
  (Object(a) === a &&
    Object(b) === b &&
    [...Object.keys(a as object), ...Object.keys(b as object)].every((k) => same((a as Record<string, unknown>)[k], (b as Record<string, unknown>)[k])));

function tell(...content: (string | Node)[]): HTMLElement {
  const item = make("li");
  item.append(...content);
  one(".taken-in")!.append(item);
  return item;
}

/** Keeps a record, and lays its way out for the guides. Where it came from it is saved. */
async function store(job: Job, saved: unknown = job.changed): Promise<void> {
  await put(job);
  for (const page of new Set([...job.entries, ...(job.open ?? [])].map((e) => e.page))) layOut(job, page);
  makeCurrent(current()); // none, if there was none: a job from elsewhere is not the one at hand
  remember(`saved ${job.id}`, saved);
}

/** changed is called when the store has. */
async function take(job: Job, changed: () => void): Promise<void> {
  const mine = await read(job.id);
  const link = make("a", nameOf(job));
  link.setAttribute("href", linkTo("#" + job.id));
  const say = (text: string): (string | Node)[] => {
    const [before, after = ""] = text.split("{job}");
    return [before!, link, after];
  };
  // A whole record says all that its short form does.
  const whole = !!mine && isShort(mine) && !isShort(job) && asLine(mine) === asLine(job);
  if (!mine || whole) {
    await store(job);
    tell(...say(word.jobs.tookIn));
    changed();
  } else if (isShort(job) ? asLine(mine) === asLine(job) : same(mine, job)) {
    tell(...say(word.jobs.knownSame));
  } else {
    const replace = async (): Promise<() => void> => {
      const saved = recall(`saved ${mine.id}`);
      await store(job);
      changed();
      return () => void store(mine, saved).then(changed);
    };
    window.benchleafChoose!(tell(), say, reach(mine), reach(job), Date.parse(job.changed) > Date.parse(mine.changed), replace);
  }
}

/** Takes in a text: one record, or one a line. */
export async function takeText(text: string, from: string, changed: () => void): Promise<void> {
  const whole = await decode(text);
  const lines = text.split("\n").filter((l) => l.trim());
  const several = typeof whole === "string" && lines.length > 1 && lines.every((l) => /^\s*({"|benchleaf-)/i.test(l));
  for (const [i, line] of (several ? lines : [text]).entries()) {
    const job = several ? await decode(line) : whole;
    if (typeof job === "string") tell(fill(word.jobs.refused, { name: several ? `${from}:${i + 1}` : from, reason: job }));
    else await take(job, changed);
  }
}

/** The text of a file, "" for what is none; letters that were lost must not pass for others. */
function utf8(bytes: BufferSource): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return "";
  }
}

export async function takeFiles(files: File[], changed: () => void): Promise<void> {
  one(".taken-in")!.replaceChildren();
  for (const file of files) {
    if (file.size > 64e6) tell(fill(word.jobs.refused, { name: file.name, reason: word.jobs.badSize }));
    else await takeText(utf8(await file.arrayBuffer()), file.name, changed);
  }
}

/**
 * Takes in the record that a link carries. What stands here in the form and not
 * there is kept; of all else the later state counts. Null: the link carries
 * none, a text: what is wrong with it.
 */
export async function takeLink(hash: string): Promise<{ id: string; came: boolean } | string | null> {
  if (!/^ey[-\w]+$/.test(hash)) return null;
  let source = "";
  try {
    source = utf8(Uint8Array.from(atob(hash.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0)));
  } catch {
    // No base64: what is left is no record either.
  }
  const job = await decode(source);
  if (typeof job === "string") return job;
  let came = false;
  await update(job.id, (mine) => {
    if (mine && (Date.parse(mine.changed) >= Date.parse(job.changed) || same(mine, job))) return;
    came = true;
    if (!mine) return job;
    // The fields of the form, which a procedure's page does not know where each has a store of its own.
    const { ambient, complaint, meter, note } = mine;
    return JSON.parse(JSON.stringify({ ambient, complaint, meter, note, ...job, machine: { ...mine.machine, ...job.machine } })) as Job;
  });
  return { id: job.id, came };
}
