/** Takes an edition from the host, as far as it is not here already. */

import { ask as askHost } from "./host";
import { unpack } from "./pack";
import type { Stopped } from "./status";
import { addressOf, keepEdition, keepFile, present, file, readPart, type Edition, type Files, type Manifest, type Part } from "./store";
import { trusted, type Pinned } from "./trust";

/** What stops all taking. */
export class Stop extends Error {
  constructor(readonly why: Stopped) {
    super(why);
  }
}

/** Why an error has stopped it: stores fail with exceptions of the DOM; whatever else fails does so on what came. */
export function whyStopped(e: unknown): Stopped {
  if (e instanceof Stop) return e.why;
  if (e instanceof DOMException) return e.name === "QuotaExceededError" ? "room" : "store";
  return "edition";
}

/** How many files are on their way at once; a browser has no more connections to a host. */
const atOnce = 6;

/** And how many packs: where the line breaks, what came of them may have to come again. After that all comes one after the other. */
const packsAtOnce = 2;

/** How often a pack is begun, at most: a line that always breaks sooner brings its files singly. */
const begins = 2;

/** The first 128 bits of SHA-256 in base64url, as the manifest has them. */
export async function digestOf(data: BufferSource): Promise<string> {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", data), 0, 16);
  return btoa(String.fromCharCode(...sum)).slice(0, 22).replace(/\+/g, "-").replace(/\//g, "_");
}

async function keep(digest: string, data: BufferSource): Promise<void> {
  try {
    await keepFile(digest, data);
  } catch (e) {
    throw new Stop(whyStopped(e));
  }
}

const ask = (path: string, cache: RequestCache): Promise<Response> => askHost(addressOf(path), { cache });

async function answers(): Promise<boolean> {
  try {
    await ask("manifest.json", "no-store");
    return true;
  } catch {
    return false;
  }
}

/** Where a published edition has a file by its digest: an address that never has other bytes. */
const digested = (digest: string): string => "by/" + digest;

/**
 * A file, if it comes as its digest says. Where the host has it by its digest, any cache
 * may give it; by its name, what a cache on the way has is asked for once more at the host.
 */
export async function get(e: Edition, path: string, digest: string): Promise<ArrayBuffer | undefined> {
  for (const cache of ["default", "no-cache", "reload"] as const) {
    if (cache === "default" && !e.digests) continue;
    try {
      const r = await ask(cache === "default" ? digested(digest) : path, cache);
      const data = await r.arrayBuffer();
      if (r.ok && (await digestOf(data)) === digest) {
        await keep(digest, data);
        return data;
      }
    } catch (e) {
      if (e instanceof Stop) throw e;
      if (!(await answers())) throw new Stop("host"); // else something blocks this one file
    }
  }
  return undefined;
}

export type Root = { id: string; manifest: Manifest } & ({ pin: Pinned | null; by: string } | { why: string });

async function root(pinned: Pinned | null, cache: RequestCache): Promise<Root> {
  let data: ArrayBuffer;
  let signature: ArrayBuffer | null = null;
  let manifest: Manifest;
  try {
    const r = await ask("manifest.json", cache);
    data = await r.arrayBuffer();
    const s = await ask("manifest.sig", cache);
    // What is not there is answered in many ways, some with a page that is called found. Who has a pin takes nothing unsigned.
    if (s.ok) signature = await s.arrayBuffer();
    else if (s.status > 499 || s.status === 408 || s.status === 429) throw new Stop("host"); // it may be there another time
    if (signature && new Uint8Array(signature)[0] !== 0x7b) signature = null; // {
    manifest = JSON.parse(new TextDecoder().decode(data)) as Manifest;
    // Where one must sign in to a network, every address may give a page about that.
    if (!r.ok || manifest.format !== 2 || !Array.isArray(manifest.parts)) throw new Stop("host");
  } catch {
    throw new Stop("host");
  }
  const trust = await trusted(data, signature, pinned);
  const id = await digestOf(data);
  if (trust.ok) return { id, manifest, pin: trust.pin, by: trust.by ?? "" };
  // An edition that is being put on the host may have one of the two already.
  if (trust.why === "changed" && cache !== "reload") return root(pinned, "reload");
  return { id, manifest, why: trust.why };
}

/** The manifest that the host has, and whether it is trusted. */
export const askRoot = (pinned: Pinned | null): Promise<Root> => root(pinned, "no-cache");

/** A pack with the parts that it holds the files of. */
interface Group {
  pack: string;
  digest: string;
  parts: Files;
}

const number = (i: number): string => i.toString(16).padStart(2, "0");

function groups({ shell, parts, packs }: Manifest): Group[] {
  const all: Group[] = [{ pack: "packs/shell.gz", digest: shell.pack, parts: { "manifest/shell.json": shell.part } }];
  const run = parts.length / packs.length;
  for (let i = 0; i < packs.length; i++) {
    const g: Group = { pack: `packs/${number(i)}.gz`, digest: packs[i]!, parts: {} };
    for (let j = i * run; j < (i + 1) * run; j++) g.parts[`manifest/${number(j)}.json`] = parts[j]!;
    all.push(g);
  }
  return all;
}

/** Takes what is new in a pack. What does not come, or not as it must, comes by itself later. Tells whether it broke off. */
async function takePack(e: Edition, g: Group, read: (data: Uint8Array<ArrayBuffer>) => void, told: () => void): Promise<boolean> {
  if (typeof DecompressionStream === "undefined") return false; // Firefox before 113
  const begun = (e.begun ??= {});
  begun[g.pack] = (begun[g.pack] ?? 0) + 1;
  if (begun[g.pack]! > begins) return false;
  await keepEdition(e);
  try {
    const path = e.digests ? digested(g.digest) : g.pack;
    const r = await askHost(addressOf(path), { cache: "no-store", priority: "low" }); // the reader's pages come first
    if (!r.ok || !r.body) return false;
    const has = await present();
    for await (const [path, data] of unpack(r.body)) {
      const digest = g.parts[path] ?? e.files[path];
      if (!digest || (await digestOf(data)) !== digest) continue;
      if (!has.has(digest)) await keep(digest, data);
      if (g.parts[path]) read(data);
      told();
    }
    delete begun[g.pack];
    return false;
  } catch (e) {
    if (e instanceof Stop) throw e;
    if (!(await answers())) throw new Stop("host");
    return true;
  }
}

/** Does all that a list says, a few at a time. Where one throws, those under way are the last. */
async function each<T>(list: T[], most: number, work: (item: T) => Promise<void>): Promise<void> {
  const rest = list.values();
  let ended = false;
  let why: unknown;
  const run = async (): Promise<void> => {
    for (const item of rest) {
      if (ended) return;
      await work(item).catch((e: unknown) => {
        ended = true;
        why = e;
      });
    }
  };
  await Promise.all(Array.from({ length: most }, run));
  if (ended) throw why;
}

/**
 * Takes an edition, or its shell alone, and returns the files that did not come as they
 * must. A phone that has nothing yet takes packs; one that has the last edition, what
 * has changed. told is called whenever something has come.
 */
export async function take(e: Edition, fresh: boolean, shellOnly: boolean, told: () => void): Promise<string[]> {
  const breaks = Object.keys(e.begun ?? {}).length > 0;
  const failed: string[] = [];
  const missing: [path: string, digest: string][] = [];
  const has = await present();
  // Who has the manifest by its digest has all else so; some have a page for what is not there.
  e.digests ??= await askHost(addressOf(digested(e.id)), { method: "HEAD" }).then(
    (r) => r.ok && !r.headers.get("Content-Type")?.startsWith("text/html"),
    () => undefined,
  );
  await each(groups(e.manifest).slice(0, shellOnly ? 1 : undefined), breaks ? 1 : packsAtOnce, async (g) => {
    const files: Files = {};
    const read = (data: BufferSource): void => {
      Object.assign(files, readPart(e, JSON.parse(new TextDecoder().decode(data)) as Part));
    };
    const parts = Object.entries(g.parts);
    const unknown = parts.filter(([, digest]) => !has.has(digest)).length;
    const packed = fresh && unknown * 2 > parts.length;
    const broken = packed && (await takePack(e, g, read, told));
    for (const [path, digest] of parts) {
      const kept = has.has(digest) && (await (await file(digest))?.arrayBuffer());
      // All else is trusted by the parts, so they are not trusted for having been kept.
      const data = kept && (await digestOf(kept)) === digest ? kept : await get(e, path, digest);
      if (data) read(data);
      else failed.push(path);
    }
    if (g.pack === "packs/shell.gz") e.shell = files;
    const absent = () => Object.entries(files).filter(([, digest]) => !has.has(digest));
    const many = absent().length;
    if ((broken || !packed) && many > 8 && many * 2 > Object.keys(files).length) await takePack(e, g, read, told);
    missing.push(...absent());
  });
  e.read = !shellOnly && !failed.length;
  await keepEdition(e);
  await each(missing, breaks ? 1 : atOnce, async ([path, digest]) => {
    if (!has.has(digest) && !(await get(e, path, digest))) failed.push(path);
    told();
  });
  return failed.sort();
}
