/**
 * A page that has changed is brought into the document that shows it: only what
 * differs between the page as it came before and as it comes now is touched, so that
 * everything that the page's scripts and its reader did to the rest stays.
 */

import { tellRenewed } from "./renew";

/** Of each node of the page as it came, the one that shows it. */
let shown = new Map<Node, Node>();
let came: Element;

/** Keeps the page as it came, before a script has touched it. */
export function keep(page: Element): void {
  came = page.cloneNode(true) as Element;
  pair(came, page);
}

/** What shows a node of the page as it came last. */
export const shownFor = (e: Element): Element | undefined => shown.get(e) as Element | undefined;

function pair(as: Node, by: Node): void {
  shown.set(as, by);
  as.childNodes.forEach((c, i) => pair(c, by.childNodes[i]!));
}

/** What scripts hold in their hands, as it was when they began. Where it stands does not matter. */
const held = [".timing > :not(.answers)", ".plotted", ".self-check", ".bar", "a.large", "form script"];

/** Whether the scripts of the page must begin anew to show it as it is now. */
export function mustReload(now: Element): boolean {
  const differ = (of: (e: Element) => string, selector: string): boolean => {
    const all = (page: Element): string => [...page.querySelectorAll(selector)].map(of).sort().join();
    return all(came) !== all(now);
  };
  const whole = (e: Element): string => e.outerHTML;
  const attributes = (e: Element): string => [...e.attributes].map((a) => a.name + a.value).join();
  return (
    differ(attributes, "body") ||
    differ(whole, "head > :not(title)") ||
    held.some((selector) => differ(whole, selector)) ||
    differ((e) => e.closest("[id]")!.id + (e as HTMLElement).dataset.reading, ".reading") ||
    differ((e) => `${e.id} ${e.getAttribute("name")} ${e.localName}`, "form, form :is(input, select, output)") ||
    // Of these pages all is made by their scripts.
    differ(whole, ":is([data-sheet=jobs], [data-sheet=search], [data-sheet=models], [data-sheet=labels], [data-sheet=practice]) > main")
  );
}

/** Whether the page differs from how it came last. */
export const differs = (now: Element): boolean => !came.isEqualNode(now);

/** Brings the page as it is now into the document. */
export function merge(now: Element): void {
  const before = shown;
  shown = new Map();
  const same = came.isEqualNode(now);
  change(came.querySelector("body")!, now.querySelector("body")!, before);
  came = now;
  if (same) return;
  document.title = now.querySelector("title")!.textContent!;
  tellRenewed();
}

/** What is the same as it was is shown by the same. */
function carry(was: Node, now: Node, before: Map<Node, Node>): void {
  shown.set(now, before.get(was)!);
  was.childNodes.forEach((c, i) => carry(c, now.childNodes[i]!, before));
}

function change(was: Node, now: Node, before: Map<Node, Node>): void {
  if (was.isEqualNode(now)) {
    carry(was, now, before);
    return;
  }
  const node = before.get(was)!;
  shown.set(now, node);
  if (now instanceof CharacterData) {
    if ((was as CharacterData).data !== now.data) (node as CharacterData).data = now.data;
    return;
  }
  if (was instanceof Element && now instanceof Element) attributes(was, now, node as Element);
  children(was, now, node, before);
}

function attributes(was: Element, now: Element, e: Element): void {
  for (const name of new Set([...was.getAttributeNames(), ...now.getAttributeNames()])) {
    const value = now.getAttribute(name);
    if (value === was.getAttribute(name)) continue;
    if (name === "class") {
      // Scripts have set some of their own.
      e.classList.remove(...was.classList);
      e.classList.add(...now.classList);
    } else if (value === null) e.removeAttribute(name);
    else e.setAttribute(name, value);
  }
}

function children(was: Node, now: Node, node: Node, before: Map<Node, Node>): void {
  const from = matches([...was.childNodes], [...now.childNodes]);
  const stay = new Set(from.values());
  for (const c of was.childNodes) if (!stay.has(c)) before.get(c)!.parentNode?.removeChild(before.get(c)!);
  const still = inOrder(was, now, from);
  let last: Node | null = null;
  for (const c of now.childNodes) {
    const old = from.get(c);
    let place: Node;
    if (old) {
      change(old, c, before);
      place = before.get(old)!;
    } else pair(c, (place = document.importNode(c, true)));
    if (!old || !still.has(old)) node.insertBefore(place, last ? last.nextSibling : node.firstChild);
    if (place.parentNode === node) last = place;
  }
}

/** Of each child now the one that it was: by id, by being the same, or by being of its kind in its place. */
function matches(was: ChildNode[], now: ChildNode[]): Map<Node, ChildNode> {
  const from = new Map<Node, ChildNode>();
  let start = 0;
  let [a, b] = [was.length, now.length];
  while (start < a && start < b && was[start]!.isEqualNode(now[start]!)) from.set(now[start]!, was[start++]!);
  while (a > start && b > start && was[a - 1]!.isEqualNode(now[b - 1]!)) from.set(now[--b]!, was[--a]!);
  const free = new Set(was.slice(start, a));
  const rest = now.slice(start, b);
  const claim = (c: ChildNode, found: ChildNode | undefined): void => {
    if (!found) return;
    from.set(c, found);
    free.delete(found);
  };
  const named = new Map([...free].filter((o): o is Element & ChildNode => o instanceof Element && !!o.id).map((o) => [o.id, o]));
  for (const c of rest) if (c instanceof Element && named.get(c.id)?.nodeName === c.nodeName) claim(c, named.get(c.id));
  for (const c of rest) if (!from.has(c) && c instanceof Element && !c.id) claim(c, [...free].find((o) => o.isEqualNode(c)));
  let after = -1; // what is left is taken in order, between what is known
  for (const c of rest) {
    const known = from.get(c);
    if (known) {
      after = Math.max(after, was.indexOf(known));
      continue;
    }
    const found = [...free].find((o) => was.indexOf(o) > after && o.nodeName === c.nodeName && !((c as Element).id || (o as Element).id));
    claim(c, found);
    if (found) after = was.indexOf(found);
  }
  return from;
}

/** The most of the children that may stay where they are: the longest run of them that keeps its order. */
function inOrder(was: Node, now: Node, from: Map<Node, ChildNode>): Set<Node> {
  const place = new Map<Node, number>([...was.childNodes].map((c, i) => [c, i]));
  const runs: Node[][] = []; // by length, that whose end comes first
  for (const c of now.childNodes) {
    const old = from.get(c);
    if (!old) continue;
    let i = runs.length;
    while (i > 0 && place.get(runs[i - 1]![i - 1]!)! > place.get(old)!) i--;
    runs[i] = [...(runs[i - 1] ?? []), old];
  }
  return new Set(runs[runs.length - 1]);
}
