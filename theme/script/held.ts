/**
 * Keeps the handbook on the phone, where it came from a host, by the worker in its
 * root; and says at the foot of every page what is kept. Loaded last.
 */

import { button, fill, make, one, put } from "./dom";
import "./labelled";
import { here } from "./place";
import { recall, remember } from "./store";
import type { Ask, Status } from "../worker/status";

/** Takes the place that the script's own element has kept. */
const line = make("div");
line.className = "held";
document.currentScript!.replaceWith(line);
// What puts the handbook on the phone's screen. A page of a folder has no use for it, and a browser complains of it there.
const app = make("link") as HTMLLinkElement;
app.rel = "manifest";
app.href = here + "app.webmanifest";
document.head.append(app);
const details = make("details");
const summary = make("summary");
const more = make("div");
const offer = make("p");
offer.className = "offer";
details.append(summary, more);
// Who is in the middle of a procedure is told nothing aloud.
if (document.body.dataset.sheet !== "procedure") offer.setAttribute("role", "status");

const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined;

/** The edition of this page, as edition.js says it. */
const mine = JSON.parse(one("[data-edition]")!.dataset.edition || "{}") as { edition?: string; date?: string };

let status: Status | undefined;

async function ask(what: Ask, ports?: MessagePort[]): Promise<void> {
  (await workers!.ready).active?.postMessage(what, ports!);
}

/** Tells also whether a job is at hand: it shall meet no other edition unasked. */
async function hello(): Promise<void> {
  await 0; // what is being done, which may begin a job, is done
  await ask({ do: "hello", edition: mine.edition && `${mine.edition} ${mine.date ?? ""}`, job: !!recall("job") });
}

/** How long ago something was, in words. */
function ago(time: number): string {
  const minutes = Math.floor((Date.now() - time) / 60_000);
  if (minutes < 1) return word.held.now;
  if (minutes < 60) return fill(word.held.minutes, { n: minutes });
  if (minutes < 48 * 60) return fill(word.held.hours, { n: Math.floor(minutes / 60) });
  return fill(word.held.days, { n: Math.floor(minutes / 60 / 24) });
}

/** What fills texts, of all that is told. */
type Texts = Pick<Status, "edition" | "have" | "pages">;

/** What the edition that is kept is called, where it has a name, and how much of it is here. */
function stands(s: Status): string {
  return (s.edition && fill(word.held.named, s as Texts)) + fill(s.whole ? word.held.all : word.held.some, { ...(s as Texts), time: ago(s.checked) });
}

/** Why taking an edition stopped. */
const whys = { host: word.held.host, room: word.held.room, store: word.held.store, edition: word.held.edition };

/** What went wrong, each as a sentence. */
function troubles(s: Status): string[] {
  const list: string[] = [];
  const why = s.stopped && whys[s.stopped];
  if (why && !s.whole) list.push(fill(word.held.stopped, { why }));
  else if (why && s.stopped !== "host") list.push(fill(word.held.newer, { why }));
  if (s.failed.length) list.push(fill(word.held.failed, { edition: s.coming || s.edition }));
  if (s.refused) {
    const text = !s.whole
      ? word.held.refusedFirst
      : s.refused.why === "older"
        ? word.held.refusedOlder
        : s.refused.why === "changed"
          ? word.held.refusedChanged
          : word.held.refused;
    list.push(fill(text, s.refused));
  }
  return list;
}

async function show(): Promise<void> {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = () => location.reload();
  await ask({ do: "take" }, [port2]);
}

const key = button(word.held.show, () => void show());
const checkKey = button(word.held.check, () => void ask({ do: "check" }));
const text = make("span");
const facts = make("ul");
offer.append(text, " ", key);
more.append(facts, checkKey);

function draw(): void {
  const s = status;
  if (!s || !(s.pages || s.refused || s.stopped)) return;
  if (!details.isConnected) line.append(details, offer);
  const { next } = s;
  // A page that did not come from the phone, though an edition is whole there: the host's is newer, older, or anybody's.
  const past = s.foreign || (s.whole && (!workers!.controller || (!next && (mine.edition ?? s.edition) !== s.edition)));
  // Where nobody is in the middle of anything the offer stands in sight, whatever is read.
  if (next && document.body.dataset.sheet === "finder" && line.contains(offer)) one(".bar")?.prepend(offer);
  const wrong = troubles(s);
  put(summary, s.pages ? stands(s) : wrong.shift()!);
  if (past) wrong.push(fill(word.held.past, s as Texts));
  if (next) wrong.push(fill(word.held.next, { edition: next }));
  put(text, wrong.join(" "));
  key.hidden = !next && (!past || s.foreign);
  checkKey.disabled = s.busy;
  void lines(s);
}

/** What stands behind the line already. */
let shown = "";

/** What stands behind the line. */
async function lines(s: Status): Promise<void> {
  const list = s.failed.map((file) => fill(word.held.file, { file }));
  if (s.whole && s.stopped === "host") list.push(word.held.silent);
  if (s.by) list.push(fill(word.held.by, { by: s.by }));
  if (s.whole) {
    if (!recall("persist")) {
      remember("persist", true);
      // Some browsers ask the reader, who may take his time.
      void navigator.storage?.persist().then(draw, draw); // some have none
    }
    list.push((await navigator.storage?.persisted().catch(() => false)) ? word.held.lasting : word.held.passing);
  }
  const text = list.join("\n");
  if (text === shown) return;
  shown = text;
  facts.replaceChildren(...list.map((t) => make("li", t)));
}

/** The worker leads here where a page is not on the phone and the host does not answer. */
function tellMissing(): void {
  const path = new URLSearchParams(location.search).get("missing");
  if (!path || !workers!.controller) return;
  const note = make("blockquote", fill(word.held.missing, { page: path }) + " ");
  note.setAttribute("role", "alert");
  const again = make("a", word.held.again) as HTMLAnchorElement;
  again.href = here + location.search.slice(9).replace(/%2F/g, "/");
  note.append(again);
  one("main")!.prepend(note);
}

async function start(): Promise<void> {
  const refuse = (why: string): void => line.append(make("p", why));
  if (!isSecureContext) return refuse(word.held.insecure);
  if (!workers) return refuse(word.held.cannot);
  tellMissing();
  workers.onmessage = (event) => {
    status = event.data as Status;
    draw();
  };
  try {
    // The worker's file keeps its name, and the browser looks whether it has changed.
    await workers.register(here + "worker.js", { scope: here, updateViaCache: "none" });
  } catch {
    // Offline the one that is there goes on.
    if (!workers.controller) return refuse(word.held.cannot);
  }
  await hello();
  setInterval(() => {
    // A browser ends a worker that nobody speaks to; and what was said to one whose place another took, nobody answers.
    if (!status || status.busy) void hello();
    draw();
  }, 15_000);
  // When the page is put away, too: a phone may end the browser then.
  for (const event of ["visibilitychange", "pageshow", "benchleaf-answer"]) addEventListener(event, hello, true);
}

void start();
