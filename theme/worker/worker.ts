/**
 * The worker by which a phone keeps a handbook that came from a host. What it keeps
 * and serves is told in docs/edition.md.
 *
 * It must never lock anybody out: whatever goes wrong in it, the host is asked as if
 * there were no worker.
 */

import { onFetch } from "./answer";
import { check, say, show, takeShell } from "./hold";
import type { Ask } from "./status";
import { bind, edition, forget, save, state } from "./store";

declare const self: ServiceWorkerGlobalScope;

self.addEventListener("install", (event) => {
  // Pages are bound to editions, not to workers: a new worker may take over at once.
  void self.skipWaiting();
  event.waitUntil(takeShell().catch(() => undefined)); // what is missing comes later
});

self.addEventListener("activate", (event) => {
  forget();
  event.waitUntil(self.clients.claim());
});

self.addEventListener("fetch", onFetch);

self.addEventListener("message", (event) => event.waitUntil(heard(event.data as Ask, event.source as Client, event.ports[0])));

async function heard(ask: Ask, page: Client, sentWith?: MessagePort): Promise<void> {
  if (ask.do === "take") {
    await show();
    sentWith?.postMessage(null);
  } else if (ask.do === "hello") {
    const s = await state();
    if (s.job !== !!ask.job) {
      s.job = !!ask.job;
      await save();
    }
    if (ask.edition) await recognize(page.id, ask.edition);
  }
  say();
  await check(ask.do === "check");
}

/** A page that came before the worker tells which edition it has. */
async function recognize(client: string, name: string): Promise<void> {
  const s = await state();
  if (s.clients[client]) return;
  for (const id of [s.held, s.coming]) {
    const e = await edition(id);
    if (e && name === e.manifest.edition + " " + (e.manifest.date ?? "")) return bind(client, e);
  }
}
