/** What the page's scripts know of it, and how it changes at the desk. An edition has nothing of this. */

const event = "benchleaf-renewed";

/** Calls a function when the page has changed under its scripts. */
export const onRenewed = (f: () => void): void => document.addEventListener(event, f);

/** Tells the page's scripts. */
export const tellRenewed = (): void => void document.dispatchEvent(new Event(event));

/** Makes an object what another one is, in its place: who holds it, or a part of it, has what is new. */
export function renew(old: object, now: object): void {
  const [into, from] = [old as Record<string, unknown>, now as Record<string, unknown>];
  for (const key of Object.keys(into)) if (!(key in from)) delete into[key];
  for (const [key, value] of Object.entries(from)) {
    const was = into[key];
    if (value && was && typeof value === "object" && typeof was === "object" && Array.isArray(value) === Array.isArray(was)) renew(was, value);
    else into[key] = value;
  }
  if (Array.isArray(old)) old.length = (now as unknown[]).length;
}
