/**
 * What the phone remembers. Browsers share one store among all pages opened
 * from files, so every key begins with the place of this handbook. A browser
 * that refuses to store still shows everything.
 */

import { here } from "./place";

/*
 * Chromium binds a page's stores when the page first asks for them, and refuses where it has not yet taken note that the
 * page is there, as on a busy phone that of a new process: as long as that page stands, it finds them empty and keeps
 * nothing. There are no cookies, but the question after them waits until the browser knows the page.
 */
try {
  void document.cookie;
} catch {
  // Who may not ask has no store either.
}

/** For good, or until the tab is closed. */
type Store = "localStorage" | "sessionStorage";

export function recall<T>(key: string, store: Store = "localStorage"): T | null {
  try {
    return JSON.parse(window[store].getItem(`benchleaf ${here} ${key}`)!) as T | null;
  } catch {
    return null;
  }
}

declare global {
  interface Window {
    /** Gives up what can be made good again; whether there was any. */
    benchleafRoom?(): boolean;
  }
}

/** Keeps a value; says whether the browser does. */
export function remember(key: string, value: unknown, store: Store = "localStorage"): boolean {
  try {
    window[store].setItem(`benchleaf ${here} ${key}`, JSON.stringify(value));
    return true;
  } catch {
    // A full or forbidden store: where nothing can be given up the page works on, it only forgets.
    return !!window.benchleafRoom?.() && remember(key, value, store);
  }
}

/** Removes what is kept under some keys, which begin with the place of their handbook, and gives it. */
export function forget(which: (key: string) => boolean): [key: string, value: string][] {
  try {
    const found = Object.entries<string>(localStorage).filter(([key]) => which(key));
    for (const [key] of found) localStorage.removeItem(key);
    return found;
  } catch {
    return [];
  }
}
