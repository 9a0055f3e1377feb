/**
 * A tap on a picture opens it large, with what its numbers are beneath: a finger
 * moves it, two make it larger still, as the browser does everywhere. A tap on a
 * number in the text does the same and marks its line. Without this the picture's
 * file opens, and the number leads to its line.
 */

import { style } from "./beside";
import { all, button, make, one } from "./dom";
import { here, hrefOf } from "./place";

const sheet = document.createElement("dialog");
sheet.className = "enlarged";

/** What stands beneath the picture; its ids stay where they are. */
function copyOf(list: Element, marked?: Element): Element {
  const copy = list.cloneNode(true) as Element;
  [...list.children].forEach((line, i) => {
    copy.children[i]!.removeAttribute("id");
    if (line === marked) copy.children[i]!.setAttribute("aria-current", "true");
  });
  return copy;
}

/** A picture with numbers as one drawing, which grows as a whole. */
function whole(marks: Element, view: Element): Element {
  const shown = one("img", view)!;
  const image = document.createElementNS(marks.namespaceURI, "image");
  const large = one<HTMLSourceElement>("source", view)?.srcset.split(" ")[0];
  for (const [name, value] of Object.entries({ href: large ?? shown.getAttribute("src")!, width: "100%", height: "100%" }))
    image.setAttribute(name, value);
  marks.prepend(image);
  for (const [name, value] of Object.entries({ class: "picture", role: "img", "aria-label": shown.getAttribute("alt")!, "aria-hidden": "false" }))
    marks.setAttribute(name, value);
  return marks;
}

/**
 * What is seen first of a picture that is larger than its view: the number that the reader asked for, within a ring, else the
 * middle of all numbers. The build says where they stand, in hundredths.
 */
function aim(view: Element, shown: Element, spots: string, at: number): void {
  const list = spots.split(",").map((spot) => spot.split(" ").map(Number));
  const middle = (axis: number): number => {
    const along = list.map((spot) => spot[axis]!);
    return (along[at] ?? (Math.min(...along) + Math.max(...along)) / 2) / 100;
  };
  const ring = make("i");
  if (list[at]) ring.className = "ring";
  view.append(ring);
  // It comes to its size when it is loaded, and has another one when the phone is turned.
  new ResizeObserver(() => {
    const [outer, inner] = [view, shown].map((e) => e.getBoundingClientRect());
    const { width, height } = inner!;
    ring.style.cssText = `left:${inner!.left - outer!.left + view.scrollLeft + middle(0) * width}px;top:${inner!.top - outer!.top + view.scrollTop + middle(1) * height}px;font-size:${width / 12}px`;
    ring.scrollIntoView({ block: "center", inline: "center" });
  }).observe(shown);
}

function open(picture: Element, from: HTMLElement, marked?: Element): void {
  const view = make("div");
  view.className = "view";
  view.tabIndex = 0; // keys move it, too
  view.append(...[...picture.children].map((e) => e.cloneNode(true)));
  // Of a photograph the last file is the largest. With four of its pixels to one of the page it is smaller than the screen, which it then covers.
  for (const e of all<HTMLSourceElement>("source", view)) {
    e.srcset = e.srcset.split(", ").pop()!.replace(/ \d+w$/, " 4x");
    e.removeAttribute("sizes");
  }
  const marks = one(".marks", view);
  if (marks && !bound) view.replaceChildren(whole(marks, view));
  const called = picture.closest<HTMLElement>(".called");
  const list = called?.querySelector("ol");
  const key = button(word.picture.close, () => sheet.close());
  sheet.replaceChildren(view, ...(list ? [copyOf(list, marked)] : []), key);
  const shown = one("img, .picture", view)!;
  sheet.setAttribute("aria-label", shown.getAttribute("alt") ?? shown.getAttribute("aria-label")!);
  from.focus({ preventScroll: true }); // closing leads back to it
  sheet.showModal();
  one("[aria-current]", sheet)?.scrollIntoView({ block: "nearest" });
  if (called?.dataset.spots) aim(view, shown, called.dataset.spots, marked ? [...list!.children].indexOf(marked) : -1);
}

style(here + "assets/picture.css");
document.body.append(sheet);
if (bound)
  // There the picture has no file of its own to lead to.
  for (const span of all("span.large")) {
    const key = button("", () => undefined);
    key.className = "large";
    key.append(...span.childNodes);
    span.replaceWith(key);
  }
addEventListener("popstate", () => sheet.close());
document.addEventListener("click", (e) => {
  if (e.ctrlKey || e.metaKey || e.shiftKey) return; // the reader wants a tab of its own
  const from = (e.target as Element).closest<HTMLElement>("a, button.large");
  if (!from) return;
  if (sheet.contains(from)) return sheet.close(); // a line leads on to the text
  const marked = from.matches(".callout") ? document.getElementById(hrefOf(from).slice(1)) : null;
  const picture = from.matches(".large") ? from : marked?.closest(".called")?.querySelector(".large");
  if (!picture) return;
  e.preventDefault();
  open(picture, from, marked ?? undefined);
});
