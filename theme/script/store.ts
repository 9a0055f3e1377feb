/**
 * What the phone remembers. Browsers share one store among all pages opened
 * from files, so every key begins with the place of this handbook. A browser
 * that refuses to store still shows everything.
 */

const here = new URL("..", (document.currentScript as HTMLScriptElement).src).href;

export function recall<T>(key: string): T | null {
  try {
    return JSON.parse(localStorage.getItem(`benchleaf ${here} ${key}`) ?? "null") as T | null;
  } catch {
    return null;
  }
}

export function remember(key: string, value: unknown): void {
  try {
    localStorage.setItem(`benchleaf ${here} ${key}`, JSON.stringify(value));
  } catch {
    // A full or forbidden store: the page works on, it only forgets.
  }
}
