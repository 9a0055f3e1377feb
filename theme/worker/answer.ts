/** Answers what pages ask for. A page has files of the edition that it was opened with, and of no other. */

import { check, say, show } from "./hold";
import { addressOf, bind, edition, file, keepFile, named, pathOf, present, state, type Edition } from "./store";
import { digestOf, get } from "./take";

declare const self: ServiceWorkerGlobalScope;

/** How long the host may take for a page that is here too, while not all is held. */
const patience = 4000;

const kinds: Record<string, string> = {
  html: "text/html; charset=utf-8",
  js: "text/javascript; charset=utf-8",
  css: "text/css; charset=utf-8",
  json: "application/json",
  webmanifest: "application/manifest+json",
  txt: "text/plain; charset=utf-8",
  csv: "text/csv; charset=utf-8",
  svg: "image/svg+xml",
  png: "image/png",
  jpg: "image/jpeg",
  jpeg: "image/jpeg",
  gif: "image/gif",
  webp: "image/webp",
  avif: "image/avif",
  pdf: "application/pdf",
  mp3: "audio/mpeg",
  m4a: "audio/mp4",
  ogg: "audio/ogg",
  mp4: "video/mp4",
  webm: "video/webm",
};

/** A response of these bytes, or of the range that is asked for, as players of media do (RFC 9110, 14). */
function response(path: string, data: Blob, request: Request): Response {
  const headers = new Headers({ "Content-Type": kinds[path.slice(path.lastIndexOf(".") + 1).toLowerCase()] ?? "application/octet-stream", "Accept-Ranges": "bytes" });
  const [range, from, to] = /^bytes=(\d*)-(\d*)$/.exec(request.headers.get("Range") ?? "") ?? [];
  if (!range || (!from && !to)) return new Response(data, { headers });
  const begin = from ? Number(from) : Math.max(0, data.size - Number(to));
  const end = from && to ? Math.min(Number(to) + 1, data.size) : data.size;
  if (begin >= end) return new Response(null, { status: 416, headers: { "Content-Range": `bytes */${data.size}` } });
  headers.set("Content-Range", `bytes ${begin}-${end - 1}/${data.size}`);
  return new Response(data.slice(begin, end), { status: 206, headers });
}

async function kept(e: Edition, path: string, request: Request): Promise<Response | undefined> {
  const found = await file(e.files[path]!);
  return found && response(path, await found.blob(), request);
}

/** Where nothing else can be shown, the finder of its language says what is missing. */
async function missing(e: Edition, path: string): Promise<Response> {
  const has = await present();
  for (let folder = path; ; ) {
    folder = folder.slice(0, Math.max(0, folder.lastIndexOf("/", folder.length - 2) + 1));
    const finder = folder + "index.html";
    if (finder !== path && has.has(e.files[finder] ?? "")) return Response.redirect(`${addressOf(finder)}?missing=${encodeURIComponent(path)}`);
    if (!folder) throw new Error("no finder is here");
  }
}

/** What the host sends, or nothing where it does not in time. */
const inTime = (event: FetchEvent): Promise<Response | undefined> =>
  Promise.race([fetch(event.request).catch(() => undefined), new Promise<undefined>((done) => setTimeout(done, patience))]);

/** Opens a page. */
async function open(event: FetchEvent, path: string): Promise<Response> {
  const s = await state();
  // Who begins anew, with no page open and no job at hand, begins with the newest edition.
  if (s.ready && !s.job && (await edition(s.coming))?.shell[path || "index.html"] && !(await self.clients.matchAll({ type: "window", includeUncontrolled: true })).length) await show();
  const e = await edition(s.held || s.coming);
  if (!e) return fetch(event.request);
  const at = named(e, path);
  const mine = async (r: Response): Promise<Response> => {
    event.waitUntil(bind(event.resultingClientId, e));
    return r;
  };
  if (at && s.held) {
    const r = await kept(e, at, event.request);
    if (r) return mine(r);
  }
  const here = at && (await present()).has(e.files[at]!);
  const sent = here ? await inTime(event) : await fetch(event.request).catch(() => undefined);
  if (!sent) {
    const r = at && (await kept(e, at, event.request));
    return r ? mine(r) : missing(e, path);
  }
  // A page that the whole edition lacks: the host has gone on to another.
  if (!at && s.held && sent.ok) event.waitUntil(check(true));
  if (!at || !sent.ok || sent.type !== "basic") return sent;
  // Is it the page of the edition that is being taken, or has the host gone on to another?
  const data = await sent.clone().arrayBuffer();
  if ((await digestOf(data)) !== e.files[at]) return sent;
  if (!here) event.waitUntil(keepFile(e.files[at]!, data).then(say, () => undefined));
  return mine(sent);
}

async function answer(event: FetchEvent, path: string): Promise<Response> {
  if (event.request.mode === "navigate") return open(event, path);
  const s = await state();
  const e = await edition(event.clientId ? (s.clients[event.clientId]?.[0] ?? "") : s.held);
  const at = e && named(e, path);
  if (!at) return fetch(event.request);
  const r = await kept(e, at, event.request);
  if (r) return r;
  const data = await get(e, at, e.files[at]!);
  if (data) return response(at, new Blob([data]), event.request);
  // The host has another edition by now, of which this page must have nothing.
  event.waitUntil(check(true));
  return Response.error();
}

export function onFetch(event: FetchEvent): void {
  const path = pathOf(event.request.url);
  if (path === null || event.request.method !== "GET") return;
  event.respondWith(answer(event, path).catch(() => fetch(event.request)));
}
