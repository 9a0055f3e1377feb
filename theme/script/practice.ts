/**
 * A planted fault in a procedure: a machine and a meter that stand in the card
 * of the step, and at the end how it went. Loaded only where the address asks
 * for it; a practice has no job, and what is kept of it lasts as long as the tab.
 */

import type { Function, Reading } from "./circuit";
import { data as page } from "./data";
import { all, button, fill, make, one } from "./dom";
import type { Passed, Shown } from "./guide";
import { has } from "./judged";
import { linkTo, query } from "./place";
import { measure, type Machine, type Meter, type Practice, type Step } from "./practice-data";
import { sideOf } from "./reading";
import { recall, remember } from "./store";
import { fromSI } from "./unit";

/** What has been done so far. Lists hold each thing once. */
interface Run {
  state: number;
  standing: string[];
  minutes: number;
  /** The card that was come to last. */
  at: string;
  unsafe: string[];
  needless: string[];
  /** Readings that were taken on the machine as it stood. */
  taken: string[];
  /** What the meter showed of a step's reading, by the step, "jumps" where it did; what a step without one showed, as a text. */
  shown: Record<string, Reading | string>;
  /** Steps whose reading was outside of its limits, and was answered so. */
  evidence: string[];
  /** Steps whose last answer is worth nothing. */
  flawed: string[];
  unread: string[];
  against: string[];
  condemned: string[];
}

const code = new URLSearchParams(query()).get("practice")!;
const body = document.body;
const key = `practice ${code} ${body.dataset.page}`;
const functions: [Function, string][] = [
  ["volts", word.practice.volts],
  ["ohms", word.practice.ohms],
  ["amps", word.practice.amps],
];

const add = (list: string[], what: string): void => void (list.includes(what) || list.push(what));
const cardTitle = (id: string): string => one("h2", document.getElementById(id)!)?.textContent?.trim() ?? "";
const number = (id: string): string => document.getElementById(id)?.dataset.step ?? "";

/** A labelled select. */
function choice(label: string, options: string[]): [HTMLElement, HTMLSelectElement] {
  const box = make("label", label + " ");
  const select = make("select") as HTMLSelectElement;
  select.append(...options.map((o, i) => Object.assign(make("option", o), { value: String(i) })));
  box.append(select);
  return [box, select];
}

function group(title: string, ...inside: HTMLElement[]): HTMLElement {
  const set = make("fieldset");
  set.append(make("legend", title), ...inside);
  return set;
}

function start(p: Practice): void {
  if (code === "random") {
    location.replace(linkTo("?practice=" + p.faults[Math.floor(Math.random() * p.faults.length)]!.code));
    return;
  }
  const fault = p.faults.find((f) => f.code === code);
  const mark = make("section", fill(fault ? word.practice.mark : word.practice.unknown, { code }));
  mark.className = "practice-mark";
  mark.setAttribute("aria-label", word.practice.short);
  body.prepend(mark);
  const name = (): void => {
    if (!document.title.startsWith(word.practice.short)) document.title = `${word.practice.short}: ${document.title}`;
  };
  name();
  if (!fault) return;

  const first = one(".step")!.id;
  const fresh = (): Run => ({
    state: p.steps[first]?.state ?? 0,
    standing: [],
    minutes: 0,
    at: "",
    unsafe: [],
    needless: [],
    taken: [],
    shown: {},
    evidence: [],
    flawed: [],
    unread: [],
    against: [],
    condemned: [],
  });
  let run = recall<Run>(key, "sessionStorage") ?? fresh();
  const keep = (): unknown => remember(key, run, "sessionStorage");
  const models = (body.dataset.models ?? "").split(" ");
  const select = one<HTMLSelectElement>("select[name=model]");
  const machine = (): Machine => ({
    model: select?.value && models.includes(select.value) ? select.value : models[0]!,
    state: run.state,
    standing: run.standing,
    fault,
  });
  const current = (): HTMLElement => one(".current") ?? one(".step")!;
  const step = () => p.steps[current().id];
  /** What a function reads with in a step. */
  const meterOf = (f: Function, s: Step | undefined): Meter => (s?.function === f && s.meter) || p.meters[f];

  // The machine.
  const [engineBox, engine] = choice(word.practice.engine, p.states.map((s) => s.title));
  engine.addEventListener("change", () => {
    bring(Number(engine.value));
    changed();
  });
  const settings = Object.entries(p.settings).map(([id, { title }]) => {
    const box = make("label");
    const tick = make("input") as HTMLInputElement;
    tick.type = "checkbox";
    tick.addEventListener("change", () => {
      stand(id, tick.checked);
      changed();
    });
    box.append(tick, " " + title);
    return { id, box, tick };
  });

  const bring = (to: number): void => {
    if (to === run.state) return;
    run.minutes += p.states[to]!.from[run.state]!;
    run.state = to;
    for (const id of run.standing) {
      const { title, states } = p.settings[id]!;
      if (states && !states.includes(to)) add(run.unsafe, `${p.states[to]!.title}: ${title}`);
    }
  };
  const stand = (id: string, on: boolean): void => {
    run.standing = run.standing.filter((s) => s !== id);
    if (on) run.standing.push(id);
  };

  // The meter.
  const points = p.points.map(([short, title]) => `${short} – ${title}`);
  const [functionBox, setTo] = choice(word.practice.function, functions.map(([, title]) => title));
  const [redBox, red] = choice(word.reading.red, points);
  const [blackBox, black] = choice(word.reading.black, points);
  redBox.className = "red";
  black.value = String(p.ground);
  const display = make("output");
  display.className = "display";
  display.setAttribute("aria-live", "off"); // it never stands still
  const seen = make("p");
  seen.setAttribute("role", "status");
  let timer = 0;
  const blank = (): void => {
    clearInterval(timer);
    display.textContent = "– – –";
    seen.textContent = "";
  };
  for (const s of [setTo, red, black]) s.addEventListener("change", blank);

  /** The machine has changed: what was read before may be read anew. */
  function changed(): void {
    run.taken = [];
    run.shown = {};
    blank();
    show();
    keep();
  }

  function show(): void {
    engine.value = String(run.state);
    for (const { id, tick } of settings) tick.checked = run.standing.includes(id);
    act.textContent = step()?.at ? word.practice.take : word.practice.do;
  }

  /** What the display shows, off by some of its last digit. */
  function figure(v: Reading, f: Function, off = 0): string {
    if (v === "over") return "OL";
    const [factor, resolution, symbol] = meterOf(f, step());
    const digits = Math.max(0, Math.round(-Math.log10(resolution)));
    const shown = (v as number) / factor + off * resolution;
    const text = (f === "ohms" ? Math.max(0, shown) : shown).toFixed(digits).replace(/^-(0[.0]*)$/, "$1").replace("-", "−");
    return `${text.replace(".", page.decimal ?? ".")}\u00a0${symbol}`;
  }

  /** Shows a value whose last digit never rests. */
  function showValue(v: Reading, f: Function): void {
    const tick = (): void => {
      display.textContent = figure(v, f, Math.floor(Math.random() * 3) - 1);
    };
    tick();
    if (v !== "over") timer = setInterval(tick, 700);
  }

  function takeReading(): void {
    blank();
    const f = functions[Number(setTo.value)]![0];
    const [r, b] = [Number(red.value), Number(black.value)];
    let v = measure(p, machine(), f, r, b);
    let jumps = false;
    if (fault!.intermittent && v !== null && v !== "unsafe") {
      const away = measure(p, { ...machine(), away: true }, f, r, b);
      const [factor, resolution] = meterOf(f, step());
      // Two readings are told apart that are further apart than the display shakes.
      if (away === null || away === "unsafe") v = away;
      else if (v === "over" || away === "over" ? v !== away : Math.abs(v - away) > 2 * factor * resolution + 1e-9) {
        jumps = true;
        const [low, high] = (v === "over" || (away !== "over" && away < v) ? [away, v] : [v, away]).map((x) => figure(x, f));
        seen.textContent = fill(word.practice.jumps, { low: low!, high: high! });
        display.textContent = `${low} ↔ ${high}`;
      }
    }
    const what = `${functions[Number(setTo.value)]![1]}, ${p.points[r]![0]} – ${p.points[b]![0]}`;
    if (v === null) seen.textContent = word.practice.noValue;
    else if (v === "unsafe") {
      seen.textContent = f === "ohms" ? word.practice.live : word.practice.source;
      add(run.unsafe, `${seen.textContent} ${what}`);
    } else {
      if (!jumps) showValue(v, f);
      const wanted = step()?.at;
      const asked = wanted && step()?.function === f && wanted.includes(r) && wanted.includes(b);
      if (run.taken.includes(what) || (wanted && !asked)) add(run.needless, `${number(current().id)}: ${what}`);
      add(run.taken, what);
      if (asked) run.shown[current().id] = jumps ? "jumps" : v;
    }
    keep();
  }

  /** What a step shows, with the time where it is timed: it lies as far from the limits as the answer says. */
  function withTime(answer: string, card: HTMLElement): string {
    const spec = page.specs?.[one(".timing", card)?.dataset.reading ?? ""];
    const [min, max] = spec?.limits[machine().model] ?? [];
    const outcome = all("[data-outcome]", card).find((a) => a.textContent!.includes(answer))?.dataset.outcome;
    const time = { low: min! / 2, within: (min! + max!) / 2, high: max! * 1.5 }[outcome!];
    return time ? `${Math.round(time)}\u00a0${spec!.units[0][0]}: ${answer}` : answer;
  }

  /** Does what the step of the card says, and enters its reading. */
  function doStep(): void {
    const s = step();
    if (!s) return;
    const restore = (): void => (s.restores ?? []).forEach((id) => stand(id, false));
    if (!s.with) restore();
    if (s.state !== undefined) bring(s.state);
    for (const id of s.sets ?? []) stand(id, true);
    changed();
    const after = run.standing;
    run.standing = s.with ?? after;
    const card = current();
    if (s.at) {
      setTo.value = String(functions.findIndex(([f]) => f === s.function));
      [red.value, black.value] = [String(s.at[0]), String(s.at[1])];
      takeReading();
      const input = one<HTMLInputElement>(".reading input", card);
      if (input && !display.textContent!.startsWith("–")) {
        input.value = run.shown[card.id] === "jumps" ? "" : display.textContent!;
        input.dispatchEvent(new Event("input", { bubbles: true }));
      }
    } else {
      const answer = fault!.shows?.[card.id];
      seen.textContent = answer ? fill(word.practice.seen, { answer: withTime(answer, card) }) : word.practice.nothing;
      if (answer) run.shown[card.id] = answer;
    }
    if (s.with) { // it is put back once it is read
      run.standing = after;
      restore();
      show();
      keep();
    }
  }

  const act = button("", doStep);
  const panel = make("section");
  panel.className = "practice";
  panel.setAttribute("aria-label", word.practice.meter);
  panel.append(
    act,
    seen,
    group(word.practice.meter, functionBox, redBox, blackBox, button(word.practice.read, takeReading), display),
    group(word.practice.machine, engineBox, ...settings.map((s) => s.box)),
  );

  function begin(card: HTMLElement): void {
    const s = p.steps[card.id];
    if (run.at === card.id) return;
    run.at = card.id;
    const at = number(card.id);
    for (const id of s?.requires ?? [])
      if (!run.standing.includes(id)) add(run.unsafe, fill(word.practice.missing, { step: at, setting: p.settings[id]!.title }));
    for (const id of s?.forbids ?? [])
      if (run.standing.includes(id)) add(run.unsafe, fill(word.practice.standing, { step: at, setting: p.settings[id]!.title }));
  }

  /** The minutes of the way that finds the fault, with what it takes to bring the engine into each state. */
  function least(): number {
    let minutes = 0;
    let state = p.steps[first]?.state ?? 0;
    for (const id of fault!.way) {
      const s = p.steps[id]!;
      const to = s.state ?? state;
      minutes += (s.minutes ?? 0) + (to === state ? 0 : p.states[to]!.from[state]!);
      state = to;
    }
    return minutes;
  }

  /** At an end: how it went. */
  function finish(card: HTMLElement, way: Passed[]): void {
    // Evidence is a reading out of its limits, or what the machine showed to who looked.
    const last = way[way.length - 1];
    const showed = (w?: Passed): boolean => !!w && w.said.startsWith(fault!.shows?.[w.id] ?? "\0");
    const out = (w: Passed): boolean => run.evidence.includes(w.id) || (!!w.outcome && w.outcome !== "within" && showed(w));
    const proved = (way.some(out) || showed(last)) && !(last && run.flawed.includes(last.id));
    if (card.dataset.part && !proved) add(run.condemned, cardTitle(card.id));
    const result = make("section");
    result.className = "practice-result";
    const list = (title: string, items: string[]): HTMLElement[] => {
      const ul = make("ul");
      ul.append(...(items.length ? items : [word.practice.none]).map((i) => make("li", i)));
      return [make("h4", title), ul];
    };
    for (const a of all(".proofs a", card)) a.parentElement!.hidden = !!last && a.getAttribute("href") !== linkTo("#" + last.id);
    const astray = way.filter((w) => !fault!.way.includes(w.id)).map((w) => cardTitle(w.id));
    const again = make("a", word.practice.another);
    again.setAttribute("href", linkTo(body.dataset.practice!.replace(/\.js$/, ".html")));
    const cause = cardTitle(fault!.cause);
    result.append(
      make("h3", word.practice.result),
      make("p", card.id === fault!.cause ? word.practice.right : fill(word.practice.wrong, { cause })),
      make("p", fill(word.practice.planted, { fault: fault!.text, code })),
      // Who has left out what takes time, as bringing the engine into its state, was not faster than the shortest way.
      ...(run.minutes < least() ? [] : [make("p", fill(word.practice.minutes, { minutes: run.minutes, least: least() }))]),
      ...list(word.practice.condemned, run.condemned),
      ...list(word.practice.against, run.against),
      ...list(word.practice.unread, run.unread),
      ...list(word.practice.unsafe, run.unsafe),
      ...list(word.practice.needless, [...run.needless, ...astray]),
      again,
    );
    card.append(result);
  }

  function turn(): void {
    const card = current();
    const way = (history.state as Shown | null)?.way ?? [];
    for (const old of all(".practice-result")) old.remove();
    panel.remove();
    if (card.matches(".end")) finish(card, way);
    else {
      begin(card);
      const place = one(".reading, .answers", card);
      if (place) place.before(panel);
      else card.append(panel);
      blank();
      show();
    }
    keep();
  }

  /** The outcome that a step's reading has by its limits; "" where the last digit decides, and where none is. */
  function outcome(section: HTMLElement, v: Reading | "jumps", s: Step): string {
    const spec = page.specs?.[section.dataset.reading ?? ""];
    if (v === "jumps") return has(section, "unstable") ? "unstable" : "";
    if (v === "over") return has(section, "none") ? "none" : "";
    if (v === "unsafe" || !spec) return "";
    const [factor, resolution] = meterOf(s.function!, s);
    const sides = [-1, 0, 1].map((n) => sideOf(section, spec, fromSI(spec.units[0], v + n * factor * resolution)));
    return sides.every((side) => side === sides[0] && side !== "close" && side !== "negative") ? sides[0]! : "";
  }

  /** Holds an answer against what the meter showed, or the machine to who looked. */
  function weigh({ id, said, outcome: answered }: Passed): void {
    const [card, s, looks] = [document.getElementById(id)!, p.steps[id], fault!.shows?.[id]];
    const section = one(".reading", card);
    const shown = run.shown[id];
    const text = `${cardTitle(id)}: ${said}`;
    for (const list of [run.flawed, run.evidence]) if (list.includes(id)) list.splice(list.indexOf(id), 1);
    const measures = section && s?.at;
    if (!measures && !looks) return; // nothing is known of it
    if (shown === undefined) {
      add(run.unread, text);
      add(run.flawed, id);
      return;
    }
    const measured = measures ? outcome(section, shown as Reading | "jumps", s) : "";
    if (measured ? answered !== measured : looks && !s?.at && !said.startsWith(looks)) {
      add(run.against, text);
      add(run.flawed, id);
    } else if (measured && measured !== "within") add(run.evidence, id);
  }

  document.addEventListener("benchleaf-step", turn);
  document.addEventListener("benchleaf-answer", (e) => {
    const way = (e as CustomEvent<Passed[]>).detail;
    const last = way[way.length - 1]!;
    run.minutes += p.steps[last.id]?.minutes ?? 0;
    weigh(last);
    keep();
  });
  body.addEventListener("click", (e) => {
    if ((e.target as HTMLElement).closest("[data-do=again], [data-do=other]")) run = fresh();
  });
  select?.addEventListener("change", () => {
    name();
    changed();
  });
  turn();
}

declare global {
  interface Window {
    /** The file with the circuit calls it. */
    benchleafPractice: typeof start & { measure?: typeof measure };
  }
}

window.benchleafPractice = Object.assign(start, { measure });
