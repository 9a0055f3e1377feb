/** Which edition is held, which one comes, and what pages are told of it. */

import type { Status } from "./status";
import { clear, edition, keepEdition, named, pathOf, present, save, state, type Edition } from "./store";
import { askRoot, take, whyStopped } from "./take";

declare const self: ServiceWorkerGlobalScope;

/** How long the host is left alone once all is held. */
const often = 15 * 60_000;

let running: Promise<void> | undefined;

/** Asks the host for its edition and takes it, if it is time, or not all is held. */
export async function check(now = false): Promise<void> {
  if (now) await running; // it may have found that it is not time
  await (running ??= checkHost(now));
}

async function checkHost(now: boolean): Promise<void> {
  const s = await state();
  try {
    if (!now && s.held && (!s.coming || s.ready) && Date.now() - s.asked < often) return;
    s.asked = Date.now();
    for (let tried = ""; ; ) {
      const root = await askRoot((await edition(s.held))?.pin ?? null);
      if (root.id === tried) break;
      tried = root.id;
      s.checked = Date.now();
      s.stopped = "";
      s.failed = [];
      s.refused = "why" in root ? { edition: root.manifest.edition, why: root.why } : null;
      if ("why" in root) break;
      let e = await edition(root.id);
      if (!e) {
        await keepEdition((e = { id: root.id, manifest: root.manifest, files: {}, shell: {}, pin: root.pin, by: root.by }));
      } else if (e.pin?.key !== root.pin?.key || e.pin?.signed !== root.pin?.signed) {
        // The same edition has been signed since, or signed anew.
        await keepEdition(Object.assign(e, { pin: root.pin, by: root.by }));
      }
      const isHeld = root.id === s.held;
      if (s.coming !== root.id) s.ready = false;
      s.coming = isHeld ? "" : root.id;
      await save();
      if (isHeld ? await whole(e) : s.ready) break;
      say();
      s.failed = await take(e, !s.held, false, say);
      if (!s.failed.length) {
        if (s.held) s.ready = !isHeld;
        else [s.held, s.coming] = [root.id, ""];
        await save();
        break;
      }
      // The host may have gone on to another edition meanwhile.
    }
    await clear();
  } catch (e) {
    s.stopped = whyStopped(e);
    await save().catch(() => undefined);
  } finally {
    running = undefined;
    say();
  }
}

/** Takes the shell of the host's edition, if nothing is held yet. */
export async function takeShell(): Promise<void> {
  const s = await state();
  if (s.held) return;
  const root = await askRoot(null);
  if ("why" in root) return;
  const e = (await edition(root.id)) ?? { id: root.id, manifest: root.manifest, files: {}, shell: {}, pin: root.pin, by: root.by };
  s.coming = root.id;
  await take(e, true, true, () => undefined);
  await save();
}

async function whole(e: Edition): Promise<boolean> {
  const has = await present();
  return Object.values(e.files).every((digest) => has.has(digest));
}

/** The newest edition that is here whole is the one that is shown from now on. */
export async function show(): Promise<void> {
  const s = await state();
  if (!s.ready) return;
  [s.held, s.coming, s.ready] = [s.coming, "", false];
  await save();
}

async function statusOf({ id, url }: Client): Promise<Status> {
  const s = await state();
  const e = await edition(s.held || s.coming);
  const has = await present();
  const pages = Object.entries(e?.files ?? {}).filter(([path]) => path.endsWith(".html"));
  const newest = await edition(s.ready ? s.coming : s.held);
  const mine = s.clients[id]?.[0];
  const own = (await edition(mine ?? "")) ?? e;
  const path = pathOf(url);
  return {
    edition: e?.manifest.edition ?? "",
    pages: e?.manifest.pages ?? 0,
    have: pages.filter(([, digest]) => has.has(digest)).length,
    whole: !!s.held,
    foreign: !!s.held && !!own && path !== null && !named(own, path),
    checked: s.checked,
    next: newest && (s.ready || (mine && mine !== s.held)) ? newest.manifest.edition || " " : "",
    coming: (s.held && (await edition(s.coming))?.manifest.edition) || "",
    busy: !!running,
    stopped: s.stopped,
    failed: s.failed,
    refused: s.refused,
    by: e?.by ?? "",
  };
}

let soon: number | undefined;

/** Tells every page how things stand, at most a few times a second. */
export function say(): void {
  soon ??= setTimeout(async () => {
    soon = undefined;
    for (const c of await self.clients.matchAll({ type: "window", includeUncontrolled: true })) c.postMessage(await statusOf(c));
  }, 200);
}
