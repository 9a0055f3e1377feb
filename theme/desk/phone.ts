/** The card by which a phone gets to the page that is looked at. */

import { button, make, put } from "../script/dom";
import { here } from "../script/place";
import type { Told } from "./told";

let card: HTMLDialogElement | undefined;
const picture = make("img") as HTMLImageElement;
picture.alt = "";
const address = make("p");
address.className = "desk-address";
const code = make("p");
code.className = "desk-code";

function open(): void {
  const page = location.href.slice(here.length).replace(/[?#].*/s, "");
  picture.src = `${here}_desk/phone.png?page=${encodeURIComponent(page)}`;
  address.textContent = address.dataset.of! + page;
  card!.showModal();
}

/** Offers the card where a phone may come, and keeps its code what it is now. */
export function offerPhone(place: HTMLElement, phone: Told["phone"]): void {
  if (!phone) return;
  address.dataset.of = phone.address;
  put(code, phone.code.replace(/(\d{3})(?=\d)/g, "$1 "));
  if (card) return;
  card = make("dialog") as HTMLDialogElement;
  card.className = "desk-card";
  card.setAttribute("aria-label", word.desk.phone);
  const about = make("div");
  about.append(make("p", word.desk.how), address, make("h2", word.desk.code), code, make("p", word.desk.used));
  const plain = make("p", word.desk.plain);
  plain.className = "desk-plain";
  card.append(make("h2", word.desk.phone), picture, about, plain, button(word.desk.close, () => card!.close()));
  document.body.append(card);
  place.append(button(word.desk.phone, open));
}
