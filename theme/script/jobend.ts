/** The card of an end: what condemns the part, the remedy, the proof, what is left to do. */

import { ids } from "./answered";
import { all, button, fill, make, one } from "./dom";
import { now, record, save } from "./hand";
import { drawLeft, leftList } from "./jobleft";
import { type } from "./jobway";
import { failed, found, mend, sound, standing } from "./journal";
import type { Entry, Finding } from "./record";
import { rejudged } from "./rejudge";
import { inShort } from "./spoken";
import { stands as inWords } from "./stands";
import { moment } from "./time";

/** A step's reading in one line. */
const readingLine = ({ number, reading }: Entry): string => `${number} · ${reading!.measure}: ${inShort(reading!)}`;

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

/** The words of a cause's part: which reading condemns it, else what has shown it; not to be ordered where nothing has. */
function gate(f: Finding): HTMLElement {
  const by = f.condemnedBy === undefined ? undefined : record!.entries[f.condemnedBy];
  if (by && !rejudged().some(([e]) => e === by)) return para(`${word.job.condemned} ${readingLine(by)}`, "gate");
  const e = record!.entries.find((x) => x.at === f.at);
  if (e && !by && sound(e) && e.outcome !== "within")
    return para(`${fill(word.job.shown, { number: String(e.number), said: e.said })} ${word.end.unread}`, "gate");
  return para((f.remedy ? word.end.unread : word.job.notCondemned) + (e?.reading ? ` ${readingLine(e)}` : ""), "gate none");
}

function stands(f: Finding): string {
  if (f.repaired) return fill(word.job.proved, { time: moment(f.repaired) });
  const check = failed(record!, f);
  if (check) return fill(word.job.failed, { number: String(check.number) });
  return f.remedy ? word.job.mended : word.job.found;
}

/** Of all that proves a cause, what has led here stands alone. */
function proofs(card: HTMLElement, f: Finding | undefined): void {
  const e = f && record!.entries.find((x) => x.at === f.at);
  for (const li of all(".proofs li", card)) li.hidden = !!e && one("a", li)!.getAttribute("href") !== "#" + e.step;
}

/** What was typed of a remedy that is not done yet, by the time of its finding. */
const drafts = new Map<string, string>();

/** The remedy as it was done, or the form that asks for it. */
function remedy(f: Finding, card: HTMLElement, draw: () => void): HTMLElement {
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
        const restores = ids(card.dataset.restores);
        drafts.delete(f.at);
        save((job) => standing(mend(job, f, { text: input.value.trim(), replaced }, now()), restores, [], now()));
        // What is read from now on is read on a mended machine.
        type({});
        draw();
        (one(".verify a", card) ?? one(".mended button", card))?.focus();
      });
    const keys = f.part ? [done(word.job.doneReplaced, true), done(word.job.doneKept, false)] : [done(word.job.done, false)];
    box.replaceChildren(make("h3", word.job.remedy), label, ...keys);
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

/** The finding that a card stands for. */
function findingOf(card: HTMLElement): Finding | undefined {
  const { end, cause } = card.dataset;
  if (end === "repaired") return found(record!);
  return record!.findings.filter((f) => f.page === document.body.dataset.page && (cause ? f.cause === cause : f.end === end)).pop();
}

/** What the end says at its head, and after its text. */
function parts(card: HTMLElement, f: Finding, draw: () => void): [HTMLElement[], HTMLElement[]] {
  const readings = record!.entries.filter((e) => e.reading);
  const checks = readings.length ? part(word.job.readings, readings.map(readingLine)) : [];
  const left = inWords(record!);
  const state = (text: string): HTMLElement => para(left ? `${text.replace(/\.?$/, ".")} ${left}.` : text, "stands");
  switch (card.dataset.end) {
    case "cause":
      return [[state(stands(f)), ...(f.part ? [gate(f)] : [])], [remedy(f, card, draw)]];
    case "repaired": {
      const proof = record!.entries.filter((e) => e.verification && e.at >= f.at);
      const lines = proof.map((e) => {
        const said = e.reading ? readingLine(e) : `${e.number} · ${e.title}: ${e.said}`;
        return sound(e) ? said : `${said} · ${e.reading ? e.said : word.job.noFigure}`;
      });
      const fitted = record!.findings.flatMap((x) => (x.remedy?.replaced && x.partTitle ? [x.partTitle] : []));
      const home = document.getElementById("cause-" + f.cause) ?? card;
      return [[state(`${f.title ?? ""}. ${stands(f)}`), ...part(word.job.proof, lines), ...part(word.job.fitted, fitted)], [remedy(f, home, draw)]];
    }
    case "hand-over": {
      const out = record!.ruledOut.map((r) => `${r.title} (${fill(word.job.byStep, { number: String(record!.entries[r.entry]!.number) })})`);
      return [[state(word.job.handedOver)], [...part(word.job.ruledOut, out), ...checks]];
    }
    default:
      return [[state(word.job.open)], checks];
  }
}

/** Draws what the record adds to the card of an end. */
export function drawEnd(card: HTMLElement, href: string): void {
  const active = document.activeElement!;
  const setting = active.closest<HTMLElement>(".of-job [data-setting]")?.dataset.setting;
  const focused = setting ? `.of-job [data-setting="${setting}"] button` : active.matches(".mended input") ? ".mended input" : "";
  for (const box of [...card.querySelectorAll(".of-job")]) box.remove();
  const f = record && findingOf(card);
  proofs(card, f);
  if (!f) return;
  const draw = (): void => drawEnd(card, href);
  const [head, tail] = parts(card, f, draw);
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
  drawLeft(leftList(left, make("b", word.job.leftFull)));
  const link = make("a", word.job.save);
  link.className = "job-link";
  link.setAttribute("href", href);
  const last = one(".ruled-out", card)!;
  (one(".verify", card) ?? last).before(box(left, ...tail));
  last.before(box(link, para(word.job.saveWhy, "soft")));
  if (focused) one(focused, card)?.focus();
}
