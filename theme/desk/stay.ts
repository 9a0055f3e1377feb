/**
 * What stays while a page changes: the place on the screen, and over a loading of the
 * page what was typed in it, where the cursor stood and what was opened.
 */

import { recall, remember } from "../script/store";

/** Changes the page and leaves what is read where it is on the screen. */
export function inPlace(change: () => void): void {
  const top = document.querySelector(".desk")!.getBoundingClientRect().bottom;
  const seen = [...document.querySelectorAll("main :is(p, li, h1, h2, h3, dt, dd, tr, pre, form, section, img)")].find((e) => {
    const r = e.getBoundingClientRect();
    return r.height > 0 && r.top >= top;
  });
  const was = seen?.getBoundingClientRect().top ?? 0;
  change();
  if (!seen?.isConnected || scrollY === 0) return;
  const moved = seen.getBoundingClientRect().top - was;
  if (moved) scrollBy({ top: moved, behavior: "instant" });
}

type Field = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;

interface Kept {
  scroll: number;
  focus: string;
  typed: [key: string, value: string][];
  opened: number[];
}

const fields = "input, select, textarea";

/** Names a field by what holds it, and its place there. */
function keyOf(e: Element): string {
  if (e.id) return "#" + e.id;
  const holder = e.parentElement?.closest("[id]");
  return `${holder?.id ?? ""} ${[...(holder ?? document).querySelectorAll(fields)].indexOf(e)}`;
}

/** What the reader typed in or chose, by the fields. */
const typed = new Set<Element>();
addEventListener("input", (e) => e.isTrusted && e.target instanceof Element && typed.add(e.target), true);

const key = "desk " + location.pathname;

/** Loads the page anew. */
export function reload(): void {
  const kept: Kept = {
    scroll: scrollY,
    focus: document.activeElement?.matches(fields) ? keyOf(document.activeElement) : "",
    typed: [...typed].filter((e) => e.isConnected && !e.closest(".bar")).map((e) => [keyOf(e), (e as Field).value]),
    opened: [...document.querySelectorAll("main details")].flatMap((d, i) => ((d as HTMLDetailsElement).open ? [i] : [])),
  };
  remember(key, kept, "sessionStorage");
  location.reload();
}

/** Brings back what was there before the page was loaded anew, once its scripts take it. */
export function bringBack(): void {
  const kept = recall<Kept>(key, "sessionStorage");
  if (!kept) return;
  remember(key, null, "sessionStorage");
  history.scrollRestoration = "manual";
  document.documentElement.style.visibility = "hidden";
  let tries = 0;
  const attempt = (): void => {
    // A script that fails keeps its fields shut for good.
    if (document.querySelector("fieldset:disabled, .reading input:disabled") && tries++ < 100) {
      setTimeout(attempt, 10);
      return;
    }
    const found = new Map([...document.querySelectorAll<Field>(fields)].map((e) => [keyOf(e), e]));
    for (const [name, value] of kept.typed) {
      const e = found.get(name);
      if (!e) continue;
      typed.add(e);
      if (e.value === value) continue;
      e.value = value;
      e.dispatchEvent(new Event("input", { bubbles: true }));
    }
    document.querySelectorAll("main details").forEach((d, i) => d.toggleAttribute("open", kept.opened.includes(i)));
    document.documentElement.style.visibility = ""; // what is hidden takes no focus
    found.get(kept.focus)?.focus({ preventScroll: true });
    scrollTo({ top: kept.scroll, behavior: "instant" });
    history.scrollRestoration = "auto";
  };
  addEventListener("load", attempt);
}
