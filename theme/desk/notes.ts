/** Remarks where they belong: after the block of the page that they concern. */

import { make, one } from "../script/dom";
import { blockAt, type Lines } from "./lines";
import type { Remark } from "./told";

const severity = { error: word.desk.error, warning: word.desk.warning, advice: word.desk.advice };

/** A text of a remark: what is quoted in it stands between backquotes. It is in the program's language. */
function worded(text: string): HTMLElement {
  const p = make("p");
  p.lang = "en";
  p.append(...text.split("`").map((part, i) => (i % 2 ? make("code", part) : part)));
  return p;
}

/** A remark as it is shown. */
export function noteOf(r: Remark): HTMLElement {
  const note = make("div");
  note.className = "desk-note";
  note.dataset.severity = r.severity;
  const head = make("p");
  head.append(make("b", severity[r.severity]), " ", make("code", r.place));
  const [message, mend] = [worded(r.message), worded(r.mend)];
  mend.className = "desk-mend";
  note.append(head, message, mend);
  return note;
}

/** Puts a note after a block, in a place where a note may stand. */
function place(note: HTMLElement, block: Element): void {
  const whole = block.closest(".table, dl.facts") ?? block;
  if (whole.matches("li, dd")) whole.append(note);
  else if (whole.matches("dt")) whole.closest("dl")!.after(note);
  else if (whole.matches(".step, .end")) one("h2", whole)!.after(note);
  else if (whole.matches("header")) whole.append(note);
  else whole.after(note);
}

/** Shows the remarks on the page's own source, and no others. It returns the note of each. */
export function showNotes(remarks: Remark[], lines: Lines): Map<Remark, HTMLElement> {
  for (const old of document.querySelectorAll("main .desk-note")) old.remove();
  const notes = new Map<Remark, HTMLElement>();
  const head = one("main .head")!;
  // Several at one place stand in their order.
  for (const r of [...remarks].reverse()) {
    const note = noteOf(r);
    place(note, (r.line && blockAt(r.line, lines)) || head);
    notes.set(r, note);
  }
  return notes;
}
