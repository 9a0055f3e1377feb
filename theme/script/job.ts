/**
 * The script of jobs: what is answered and read at a machine is kept as its
 * record. A sheet is usable without it.
 */

import { startAgainst } from "./against";
import { answered, causes, openIn, page, recorded, titleOf } from "./answered";
import { fill, ids, one } from "./dom";
import "./due";
import { measure } from "./edges";
import { drawFirst } from "./first";
import type { Passed, Shown } from "./guide";
import { id, now, onOther, record, save, take } from "./hand";
import { address, drawBar, startBar } from "./jobbar";
import { drawEnd } from "./jobend";
import { forgetCleared } from "./jobleft";
import { nameOf } from "./jobname";
import { keepRead, offerReading, warnSoon } from "./jobread";
import { again, answer, begin, joined, keep, leave, startWays, takeOther, takeUp, tellResumed, visit } from "./jobway";
import { find, follow, prove, standing, typed } from "./journal";
import { painted } from "./painted";
import { pageAddress, query } from "./place";
import { forgetRead } from "./readings";
import { current } from "./records";
import type { Finding, Job, Time } from "./record";
import { moment } from "./time";
import "./timing";
import { startPractice } from "./trainee";

const cardAt = (): HTMLElement | null => one(".step.current, .end.current");

/** There was a record. Without one an end has nothing to draw. */
let begun = false;

/** An answer was given whose card comes next: what is drawn before it nobody sees. */
let coming = false;

/** Draws all that comes from the record. */
function draw(): void {
  if (coming) return;
  begun ||= !!record;
  const other = one("[data-do=other]");
  if (other) other.hidden = !id();
  drawBar();
  if (joined && record?.entries.length) tellResumed(fill(word.job.goesOn, { name: nameOf(record) }));
  const card = cardAt();
  if (!card) return;
  if (begun) drawEnd(card, address());
  if (card.matches(".step")) {
    drawFirst(card);
    offerReading(card);
    warnSoon(card, now());
  }
}

/** The end that a card is, once the last answer leads to it. */
function reach(card: HTMLElement): void {
  const { end, cause, part } = card.dataset;
  const partTitle = one(".part", card)?.lastChild?.textContent?.trim();
  save((job) => {
    const last = job.entries.slice(-1)[0];
    const leads = last && (last.page === page ? last.to === "#" + card.id : last.to === recorded(pageAddress()));
    if (!leads) return job;
    if (end === "repaired") return prove(job);
    const finding: Omit<Finding, "at"> = {
      end: end as Finding["end"],
      page,
      ...(cause && { cause, title: titleOf(card) }),
      ...(part && { part, ...(partTitle && { partTitle }) }),
    };
    return find(job, finding);
  });
}

/** The step at hand; none that is looked at by its address alone, and none that was answered or left. */
let under: HTMLElement | undefined;

/** When the last answer before it was given. */
let since = "";

/** What a step requires stands once it is worked, and what it sets once it is worked, or begun and left. */
const stood = (job: Job, settings: string[], time: Time): Job => standing(job, [], settings.filter((e) => !job.left.includes(e)), time);

/** The step at hand is left by another way than its answers, or may be: nobody knows how far it was done. */
function leaveStep(): void {
  const sets = ids(under?.dataset.sets);
  // Who goes back to look at what was answered does nothing.
  if (!record || !sets.length || record.entries.some((e) => e.page === page && e.step === under!.id && e.at > since)) return;
  under = undefined;
  forgetRead(id());
  save((job) => stood(job, sets, now()));
}

function onStep(shown: Shown): void {
  coming = false;
  if (under !== cardAt()) leaveStep();
  if (shown.job && shown.job !== id()) return takeUp(true);
  keep(shown);
  forgetCleared();
  const card = cardAt()!;
  under = visit || joined ? undefined : card;
  since = new Date(shown.way.slice(-1)[0]?.at ?? 0).toISOString();
  // What a killed page did not write is made good here.
  if (id() && shown.way.length) save((job) => follow(job, page, shown.way, answered, causes));
  if (id() && card.matches(".end")) reach(card);
  draw();
}

function onAnswer(way: Passed[]): void {
  under = undefined;
  const last = way.slice(-1)[0]!;
  coming = last.to[0] === "#";
  answer(way);
  const step = document.getElementById(last.id)!;
  const { requires, restores, sets } = step.dataset;
  const time = now();
  if (restores || sets) forgetRead(id());
  keepRead(step, last.at);
  save((job) => standing(stood(follow(job, page, way, answered, causes), ids(requires), time), ids(restores), ids(sets), time));
}

/** What is typed is in the record before it is answered; the first reading begins a job, as the first answer does. */
function onType(step: HTMLElement, at = now()): void {
  const reading = openIn(step, at);
  if (!id()) {
    if (!reading) return;
    begin();
  }
  save((job) => {
    const worked = reading && !job.open?.some((o) => o.page === page && o.step === step.id);
    return typed(worked ? stood(job, [...ids(step.dataset.requires), ...ids(step.dataset.sets)], at) : job, page, step.id, reading);
  });
}

function start(): void {
  startBar(draw, () => {
    for (const o of record!.open ?? []) if (o.page === page) onType(document.getElementById(o.step)!, o.at);
  });
  onOther(takeOther);
  if (!cardAt()) return take(current());
  document.addEventListener("benchleaf-step", () => onStep(history.state as Shown));
  document.addEventListener("benchleaf-answer", (e) => onAnswer((e as CustomEvent<Passed[]>).detail));
  document.addEventListener(
    "click",
    (e) => {
      const key = (e.target as HTMLElement).closest<HTMLElement>("[data-do=again], [data-do=other]");
      if (!key) return;
      leaveStep();
      if (key.dataset.do === "other") leave();
      again();
      // What was typed on a way that is given up goes with its fields.
      if (record?.open) save((job) => (job.open ?? []).reduce((j, { step }) => typed(j, page, step, undefined), job));
    },
    true,
  );
  // The verdict first.
  addEventListener("input", ({ target }) => {
    const section = (target as HTMLElement).closest<HTMLElement>(".step .reading");
    if (!section) return;
    delete section.dataset.recalled;
    const at = now();
    painted(() => {
      onType(section.closest(".step")!, at);
      keep(history.state as Shown); // there is a job by now
      measure(); // the bar may just have grown
      for (const what of ["[data-follows]", "output"]) one(what, section)?.scrollIntoView({ block: "nearest" });
    });
  });
  // A phone that is dark, or shows another page, may be taken over by somebody who was not there.
  document.addEventListener("visibilitychange", () => document.hidden && leaveStep());
  startWays();
  takeUp(false);
  startAgainst();
  draw();
  // The first time that is written takes a slow phone a tenth of a second: no tap shall wait for it.
  setTimeout(() => moment(now()));
}

// Who practises on a planted fault has no job.
if (query().startsWith("?practice=")) startPractice();
else start();
