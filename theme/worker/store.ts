/**
 * What the worker keeps, all in one cache: files by their digests, so that editions
 * share what has not changed; for each edition the list of its files; and how
 * things stand.
 */

import type { Stopped } from "./status";
import type { Pinned } from "./trust";

declare const self: ServiceWorkerGlobalScope;

/** Digests by path. */
export type Files = Record<string, string>;

/** A part of an edition: digests by name, by folder. */
export type Part = Record<string, Files>;

/** The root of an edition. Its form, and that of parts, is told in docs/edition.md. */
export interface Manifest {
  format: number;
  title: string;
  edition: string;
  date?: string;
  pages: number;
  shell: { part: string; pack: string };
  parts: string[];
  packs: string[];
}

export interface Edition {
  /** The digest of its manifest. */
  id: string;
  manifest: Manifest;
  /** Its files, as far as its parts are here. */
  files: Files;
  /** Those that are taken first. */
  shell: Files;
  /** The host has files by their digests; not known before one is asked for. */
  digests?: boolean;
  /** How often a pack has been begun that has not come to its end. */
  begun?: Record<string, number>;
  /** All its parts have been read. */
  read?: boolean;
  /** What is pinned once it is kept, and who signed it. */
  pin: Pinned | null;
  by: string;
}

/** How things stand. Editions are named by their ids, "" for none. */
export interface State {
  /** The edition that is here whole and shown. */
  held: string;
  /** The one that is being fetched, or that waits to be shown. */
  coming: string;
  /** The one that comes is here whole. */
  ready: boolean;
  /** When the host last answered, and when it was last asked. */
  checked: number;
  asked: number;
  stopped: Stopped;
  failed: string[];
  refused: { edition: string; why: string } | null;
  /** A job is at hand, as the last page said. */
  job: boolean;
  /** The edition that each page was opened with, by the client's id, and when it was last seen open. */
  clients: Record<string, [edition: string, seen: number]>;
}

const scope = self.registration.scope;

/** The path of an address in the edition; null for one that lies elsewhere. */
export function pathOf(address: string): string | null {
  const url = new URL(address);
  const place = url.origin + url.pathname;
  if (!place.startsWith(scope)) return null;
  try {
    return decodeURIComponent(place.slice(scope.length));
  } catch {
    return null;
  }
}

/** The file that an address means: hosts leave out endings, or have the finder at the folder. */
export const named = (e: Edition, path: string): string | undefined =>
  [path, path + ".html", ...(/(^|\/)$/.test(path) ? [path + "index.html"] : [])].find((p) => e.files[p]);

export const addressOf = (path: string): string => scope + path.split("/").map(encodeURIComponent).join("/");

const cache = caches.open("benchleaf " + scope);

/** The key of something kept: an address that no edition has. */
const key = (what: string): string => `${scope}?kept=${what}`;

/** What was kept; nothing where it is spoilt, so that the host is asked anew. */
async function readJSON<T>(what: string): Promise<T | undefined> {
  try {
    return (await (await (await cache).match(key(what)))?.json()) as T | undefined;
  } catch {
    return undefined;
  }
}

async function writeJSON(what: string, value: unknown): Promise<void> {
  await (await cache).put(key(what), new Response(JSON.stringify(value)));
}

/** The digests of the files that are here. */
let here: Promise<Set<string>> | undefined;

export const present = (): Promise<Set<string>> =>
  (here ??= (async () => {
    const found = new Set<string>();
    const begin = key("f-");
    for (const r of await (await cache).keys()) if (r.url.startsWith(begin)) found.add(r.url.slice(begin.length));
    return found;
  })());

export async function keepFile(digest: string, data: BufferSource): Promise<void> {
  await (await cache).put(key("f-" + digest), new Response(data));
  (await present()).add(digest);
}

export async function file(digest: string): Promise<Response | undefined> {
  const found = await (await cache).match(key("f-" + digest));
  if (!found) (await present()).delete(digest); // the browser has cleared it away
  return found;
}

let loaded: Promise<State> | undefined;

/** How things stand. The one value lasts as long as the worker; save keeps it beyond. */
export const state = (): Promise<State> =>
  (loaded ??= (async () => ({
    held: "",
    coming: "",
    ready: false,
    checked: 0,
    asked: 0,
    stopped: "",
    failed: [],
    refused: null,
    job: false,
    clients: {},
    ...(await readJSON<State>("state")),
  }))());

let saving = Promise.resolve();

export function save(): Promise<void> {
  const next = saving.then(async () => writeJSON("state", await state()));
  saving = next.catch(() => undefined);
  return next;
}

/** What another worker has written since is read anew. */
export function forget(): void {
  loaded = here = undefined;
  editions.clear();
}

const editions = new Map<string, Promise<Edition | undefined>>();

export function edition(id: string): Promise<Edition | undefined> {
  if (!id) return Promise.resolve(undefined);
  let e = editions.get(id);
  if (!e) editions.set(id, (e = readEdition(id)));
  return e;
}

/** Where the worker was ended while it took an edition, the parts that had come say what is here of it. */
async function readEdition(id: string): Promise<Edition | undefined> {
  const e = await readJSON<Edition>("e-" + id);
  if (e && !e.read) for (const digest of [e.manifest.shell.part, ...e.manifest.parts]) readPart(e, (await readJSON<Part>("f-" + digest)) ?? {});
  return e;
}

/** Adds what a part names to the files of its edition, and returns it. */
export function readPart(e: Edition, part: Part): Files {
  const files: Files = {};
  for (const [folder, names] of Object.entries(part)) for (const [name, digest] of Object.entries(names)) files[folder + name] = digest;
  Object.assign(e.files, files);
  return files;
}

export async function keepEdition(e: Edition): Promise<void> {
  editions.set(e.id, Promise.resolve(e));
  await writeJSON("e-" + e.id, e);
}

/** How long a page is remembered that is not seen open. It is not while it is being opened, nor while a browser keeps it for the way back. */
const memory = 15 * 60_000;

/** Remembers the edition of a page, beyond the life of this worker. */
export async function bind(client: string, e: Edition): Promise<void> {
  const now = await state();
  now.clients[client] = [e.id, Date.now()];
  await lookRound(now);
  await save();
}

/** Looks which pages are open, and forgets those that are not. */
async function lookRound(now: State): Promise<void> {
  for (const { id } of await self.clients.matchAll({ includeUncontrolled: true })) {
    const known = now.clients[id];
    if (known) known[1] = Date.now();
  }
  for (const [id, [, seen]] of Object.entries(now.clients)) if (Date.now() - seen > memory) delete now.clients[id];
}

/** Clears away what no edition needs that is kept, is coming, or has a page open. */
export async function clear(): Promise<void> {
  const now = await state();
  await lookRound(now);
  const ids = new Set([now.held, now.coming, ...Object.values(now.clients).map(([id]) => id)]);
  const needed = new Set<string>();
  for (const id of ids) {
    const e = await edition(id);
    if (!e) continue;
    needed.add(key("e-" + id));
    for (const digest of [e.manifest.shell.part, ...e.manifest.parts, ...Object.values(e.files)]) needed.add(key("f-" + digest));
  }
  needed.add(key("state"));
  const kept = await cache;
  for (const r of await kept.keys()) if (!needed.has(r.url)) await kept.delete(r);
  here = undefined;
  for (const id of editions.keys()) if (!ids.has(id)) editions.delete(id);
  await save();
}
