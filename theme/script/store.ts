/**
 * What the phone remembers. Browsers share one store among all pages opened
 * from files, so every key begins with the place of this handbook. A browser
 * that refuses to store still shows everything.
 */

import { here } from "./place";

/** For good, or until the tab is closed. */
type Store = "localStorage" | "sessionStorage";

export function recall<T>(key: string, store: Store = "localStorage"): T | null {
  try {
    return JSON.parse(window[store].getItem(`benchleaf ${here} ${key}`) ?? "null") as T | null;
  } catch {
    return null;
  }
}

export function remember(key: string, value: unknown, store: Store = "localStorage"): void {
  try {
    window[store].setItem(`benchleaf ${here} ${key}`, JSON.stringify(value));
  } catch {
    // A full or forbidden store: the page works on, it only forgets.
  }
}
