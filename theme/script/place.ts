/**
 * Where this page is, and where its links lead. In an edition the browser knows.
 * In a handbook that is one file (the build's constant bound) all pages have one
 * address, and its fragment names page, query and place, as in
 * #en/procedures/black-smoke.html?practice=2654:coil. What is given and returned
 * here is as in an edition.
 */

/** The handbook's folder, in which the icon lies that each page names first; a file that holds it all is taken for one. What is kept, is kept for it. */
export const here = bound
  ? location.href.replace(/[?#].*/s, "") + "/"
  : document.querySelector("link")!.href.slice(0, -"icons/180.png".length);

/** The parts of a bound file's fragment. */
export function parts(hash: string): [page: string, query: string, fragment: string] {
  const [, page, query = "", fragment = ""] = /^#?([^?:]*)(\?[^:]*)?:?(.*)$/s.exec(hash)!;
  return [page || "index.html", query, fragment];
}

/** What the address asks of the page, "" or with its question mark. */
export const query = (): string => (bound ? parts(location.hash)[1] : location.search);

/** The place on the page that the address names, without its hash sign. */
export const fragment = (): string => (bound ? parts(location.hash)[2] : location.hash.slice(1));

/** The page's address. */
export const pageAddress = (): string => (bound ? resolved(location.hash) : location.href);

/** What a link to an address has to say. */
export const linkTo = (to: string): string => (bound ? asFragment(to) : to);

/** Where a link leads; a place on the page itself begins with a hash sign. */
export const hrefOf = (a: Element): string => (bound ? asHref(a.getAttribute("href")!) : a.getAttribute("href")!);

/** The address that a bound file's fragment stands for. */
function resolved(hash: string): string {
  const [page, query, fragment] = parts(hash);
  return here + page + query + (fragment && "#" + fragment);
}

function asFragment(to: string): string {
  const [, page, query = "", fragment] = /^([^?#]*)(\?[^#]*)?(?:#(.*))?$/s.exec(new URL(to, pageAddress()).href.slice(here.length))!;
  return "#" + page!.replace(/:/g, "%3A") + query.replace(/:/g, "%3A") + (fragment ? ":" + fragment : "");
}

function asHref(to: string): string {
  if (to[0] !== "#") return to; // to another host
  const [page, query, fragment] = parts(to);
  const [own, asked] = parts(location.hash);
  return page === own && query === asked && fragment ? "#" + fragment : resolved(to);
}
