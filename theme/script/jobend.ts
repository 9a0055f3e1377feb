/** The card of an end: what condemns the part, the remedy, the proof, what is left to do. */

import { all, button, fill, make, one } from "./dom";
import { now, record, save } from "./hand";
import { drawLeft, leftList } from "./jobleft";
import { type } from "./jobway";
import { checks, failed, found, mend, proved, proves, sound, unproved, unsound } from "./journal";
import { hrefOf, linkTo } from "./place";
import { noteUnder } from "./note";
import type { Entry, Finding, Open } from "./record";
import { rejudged } from "./rejudge";
import { tellRejudged } from "./retake";
import { inShort, unprovedBy } from "./spoken";
import { stands as inWords } from "./stands";
import { moment } from "./time";

/** A step's reading in one line. */
const readingLine = (e: Entry | Open): string => `${e.number} · ${e.reading!.measure}: ${inShort(e)}`;

function para(text: string, name: string): HTMLElement {
  const p = make("p", text);
  p.className = name;
  return p;
}

/** A list under a heading; nothing where it is empty. */
function part(title: string, lines: string[]): HTMLElement[] {
  if (!lines.length) return [];
  const list = make("ul");
  list.append(...lines.map((line) => make("li", line)));
  return [make("h3", title), list];
}

/**
 * The words of a cause's part: which reading condemns it, else what has shown it, for a
 * second look before it is ordered; not to be ordered where nothing has, or the sheet is another machine's.
 */
function gate(f: Finding): HTMLElement {
  const foreign = one(".not-applicable:not([hidden])");
  const by = f.condemnedBy === undefined ? undefined : record!.entries[f.condemnedBy];
  if (by && !foreign && !rejudged().some(([e]) => e === by)) return para(`${word.job.condemned} ${readingLine(by)}`, "gate");
  const e = record!.entries.find((x) => x.at === f.at);
  if (e && !by && !foreign && sound(e))
    return para(`${fill(word.job.shown, { number: e.number, said: e.said })} ${f.remedy ? word.jobs.notCondemned : word.end.unread}`, "gate");
  return para((f.remedy ? word.jobs.notCondemned : word.job.notCondemned) + (e?.reading ? ` ${readingLine(e)}` : ""), "gate none");
}

/** Of a cause without a part: the answer that has shown it, or that it is not proved. */
function shownBy(f: Finding): HTMLElement[] {
  const e = record!.entries.find((x) => x.at === f.at);
  if (!e) return [];
  if (!sound(e) || rejudged().some(([x]) => x === e)) return [para(fill(word.job.unsound, { what: unprovedBy(e) }), "gate none")];
  return e.reading ? [para(fill(word.job.shown, { number: e.number, said: `${e.reading.measure}: ${inShort(e)}` }), "gate")] : [];
}

/** A check that proves nothing, in few words: its limits stand in the list below. */
function inFew(e: Entry): string {
  if (!e.reading) return `${e.number} · ${word.job.noFigure}`;
  const { min: _, max: __, ...reading } = e.reading;
  return `${e.number} · ${inShort({ ...e, reading })}`;
}

function stands(f: Finding): string {
  if (proved(record!, f)) return fill(word.job.proved, { time: moment(f.repaired!) });
  const check = failed(record!, f);
  if (check) return fill(word.job.failed, { number: check.number });
  const open = unproved(record!, f);
  if (open.length) return fill(f.remedy ? word.job.unproved : word.job.unprovedFound, { readings: open.map(inFew).join(word.list.semicolon) });
  return f.remedy ? word.job.mended : word.job.found;
}

/** Of all that proves a cause, what has led here stands alone; nothing, where that proves nothing. */
function proofs(card: HTMLElement, f: Finding | undefined): void {
  const e = f && record!.entries.find((x) => x.at === f.at);
  const list = one(".proofs", card);
  if (!list) return;
  list.hidden = (list.previousElementSibling as HTMLElement).hidden = !!e && !sound(e);
  // Of a reading the outcome that was taken.
  const taken = e?.outcome && one(`[data-outcome=${e.outcome}]`, document.getElementById(e.step) ?? card)?.firstChild!.textContent!.trim();
  for (const li of all("li", list)) {
    const led = !e || hrefOf(one("a", li)!) === "#" + e.step;
    li.hidden = !led || (!!taken && !li.textContent!.trim().endsWith(`: ${taken}`));
  }
}

/** What was typed of a remedy that is not done yet, by the time of its finding. */
const drafts = new Map<string, string>();

/** The remedy as it was done, or the form that asks for it. */
function remedy(f: Finding, card: HTMLElement): HTMLElement {
  const box = make("div");
  box.className = "mended";
  const ask = (): void => {
    const label = make("label", word.job.whatDone + " ");
    const input = make("input") as HTMLInputElement;
    input.autocomplete = "off";
    input.value = drafts.get(f.at) ?? f.remedy?.text ?? "";
    input.addEventListener("input", () => drafts.set(f.at, input.value));
    label.append(input);
    const done = (text: string, replaced: boolean): HTMLButtonElement =>
      button(text, () => {
        drafts.delete(f.at);
        const at = now();
        // What stands on the machine is not put back by that: each setting has its key.
        save((job) => mend(job, f, { text: input.value.trim(), replaced }, at));
        // What is read from now on is read on a mended machine.
        type({});
        ((record!.left.length ? one(".of-job .left button", card) : null) ?? one(".verify a", card) ?? one(".mended button", card))?.focus();
      });
    const keys = f.part ? [done(word.job.doneReplaced, true), done(word.job.doneKept, false)] : [done(word.job.done, false)];
    if (f.remedy) keys.push(button(word.jobs.notNow, leave));
    box.replaceChildren(make("h3", word.job.remedy), label, ...keys);
  };
  const leave = (): void => {
    drafts.delete(f.at);
    const told = remedy(f, card);
    box.replaceWith(told);
    one("button", told)!.focus();
  };
  if (!f.remedy) {
    ask();
    return box;
  }
  const said = [f.remedy.text, f.part && (f.remedy.replaced ? word.job.replaced : word.job.kept)].filter(Boolean).join(" · ");
  const change = button(word.job.change, () => {
    ask();
    one("input", box)?.focus();
  });
  box.append(para(`${word.job.remedy}, ${moment(f.remedy.at)}${said && `: ${said}`}`, ""), change);
  return box;
}

/** While a note is typed, its card stays as it is. */
let noting = false;

/** The note of a job that comes to no cause. */
function note(): HTMLElement {
  const label = make("label", word.job.note);
  label.className = "noted";
  const area = make("textarea") as HTMLTextAreaElement;
  area.placeholder = " "; // by which a print knows an empty one
  area.value = record!.note ?? "";
  area.addEventListener("input", () => {
    noting = true;
    const text = area.value;
    const at = now();
    save(({ note: _, ...job }) => ({ ...job, ...(text && { note: text }), changed: [job.changed, at].sort()[1]! }));
    noting = false;
  });
  label.append(area);
  return label;
}

/** The finding that a card stands for. */
function findingOf(card: HTMLElement): Finding | undefined {
  const { end, cause } = card.dataset;
  if (end === "repaired") return found(record!);
  return record!.findings.filter((f) => f.page === document.body.dataset.page && (cause ? f.cause === cause : f.end === end)).pop();
}

/** What the end says at its head, and after its text. */
function parts(card: HTMLElement, f: Finding): [HTMLElement[], HTMLElement[]] {
  const readings = record!.entries.filter((e) => e.reading).map(readingLine);
  for (const o of record!.open ?? []) readings.push(`${readingLine(o)} · ${word.job.unanswered}`);
  const read = part(word.job.readings, readings);
  const left = inWords(record!);
  const state = (text: string): HTMLElement => para(left ? `${text.replace(/\.?$/, ".")} ${left}.` : text, "stands");
  switch (card.dataset.end) {
    case "cause":
      return [[state(stands(f)), ...(f.part ? [gate(f)] : shownBy(f))], [remedy(f, card)]];
    case "repaired": {
      const lines = checks(record!, f).map((e) => {
        const said = e.reading ? readingLine(e) : `${e.number} · ${e.title}: ${e.said}`;
        return proves(e) ? said : `${said} · ${e.reading ? e.said : word.job.noFigure}`;
      });
      const fitted = record!.findings.flatMap((x) => (x.remedy?.replaced && x.partTitle ? [x.partTitle] : []));
      const home = document.getElementById("cause-" + f.cause) ?? card;
      const proof = proved(record!, f) ? word.job.proof : word.end.check;
      return [[state(`${f.title ?? ""}. ${stands(f)}`), ...part(proof, lines), ...part(word.job.fitted, fitted)], [remedy(f, home)]];
    }
    case "hand-over": {
      const out = record!.ruledOut.map((r) => `${r.title} (${fill(word.job.byStep, { number: record!.entries[r.entry]!.number })})`);
      return [[state(word.job.handedOver)], [note(), ...part(word.job.ruledOut, out), ...read]];
    }
    default:
      return [[state(word.job.open), ...part(fill(word.job.unsound, { what: "" }), unsound(record!, f).map(unprovedBy))], [note(), ...read]];
  }
}

/** An end asserts nothing that its job does not prove: neither its heading that a repair holds, nor its text what was found. */
function claim(card: HTMLElement, f: Finding | undefined): void {
  const heading = one("h2", card)!.lastChild!;
  const text = one(":scope > p:not([class])", card);
  if (card.dataset.end === "repaired") {
    const sure = !record || (!!f && proved(record, f));
    card.dataset.title ??= heading.textContent!;
    heading.textContent = sure ? card.dataset.title : ` ${word.jobs.notProved}`;
    text!.hidden = !sure;
  } else if (f?.end === "not-reproduced" && text) {
    one("b.unsound", text)?.remove();
    if (!unsound(record!, f).length) return;
    const not = make("b", fill(word.job.unsound, { what: "" }));
    not.className = "unsound";
    text.prepend(not, " ");
  }
}

/** The way back to the first step of a check that proves nothing, to take it again. */
function again(f: Finding): HTMLElement | undefined {
  const first = unproved(record!, f).length && checks(record!, f).find((e) => e.page === document.body.dataset.page);
  if (!first) return undefined;
  const link = make("a", word.job.checkAgain);
  link.setAttribute("href", linkTo("#" + first.step));
  // What is read from now on is read anew.
  link.onclick = () => type({});
  const key = para("", "verify");
  key.append(link);
  return key;
}

/** Says so where a search begins anew because a repair did not hold. */
function tellFailed(step: HTMLElement): void {
  const e = record?.entries.slice(-1)[0];
  const f = record && found(record);
  const anew = f?.remedy && e?.verification && e.to === "#" + step.id && !step.matches("[data-verification]");
  noteUnder(step, "failed", anew ? `${f.title}: ${fill(word.job.failed, { number: e.number })}.` : "");
}

/** Draws what the record adds to an end, or tells at a step why it is shown again, and at both what was judged for another model. */
export function drawEnd(card: HTMLElement, href: string): void {
  tellRejudged(card, rejudged());
  if (card.matches(".step")) return tellFailed(card);
  if (noting) return one(".job-link", card)!.setAttribute("href", href);
  const active = document.activeElement!;
  const setting = active.closest<HTMLElement>(".of-job [data-setting]")?.dataset.setting;
  const focused = setting ? `.of-job [data-setting="${setting}"] button` : [".mended input", ".noted textarea"].find((field) => active.matches(field));
  for (const box of [...card.querySelectorAll(".of-job")]) box.remove();
  const f = record && findingOf(card);
  proofs(card, f);
  claim(card, f);
  if (!f) return;
  const [head, tail] = parts(card, f);
  const box = (...children: HTMLElement[]): HTMLElement => {
    const div = make("div");
    div.className = "of-job";
    div.append(...children);
    return div;
  };
  const above = box(...head);
  above.setAttribute("role", "status");
  (one(".minutes", card) ?? one("h2", card)!).after(above);
  const left = make("div");
  const check = one(".verify", card);
  const anew = card.dataset.end === "repaired" ? again(f) : undefined;
  drawLeft(leftList(left, make("b", check || anew ? word.job.leftCheck : word.job.leftFull)));
  const link = make("a", word.job.save);
  link.className = "job-link";
  link.setAttribute("href", href);
  const last = one(".ruled-out", card)!;
  // The check is begun on a machine that is put together: the list stands right above its key.
  (check ?? last).before(box(...tail, left, ...(anew ? [anew] : [])));
  last.before(box(link, para(word.job.saveWhy, "soft")));
  // What is drawn anew moves nothing.
  if (focused) one(focused, card)?.focus({ preventScroll: true });
}
