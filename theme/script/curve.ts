/**
 * The curve of a timing: when its marks are expected with what is entered, for the
 * stopwatch, which asks for it whenever it shows something.
 */

import { data, type Limit, type Unit } from "./data";
import { all, button, fill, make, one, own, put } from "./dom";
import { labelOf } from "./form";
import { format, inSigns } from "./number";
import type { Asked, Curve, Plotted } from "./plot";
import { fromSI } from "./unit";

/** A timing with a curve. */
export type Timed = HTMLElement & {
  /**
   * Draws what is expected, beside the times that were taken. It returns the limits of the last
   * mark, in s: null where the models differ, or in words why there are none.
   */
  expect?: (taken: (mark: string) => number) => Limit | null | string;
};

const points = 97;
const halvings = 30;

/** The range of a curve's input that is drawn, and where the input itself ends, in SI. */
type Range = [from: number, to: number, end: number];

/** When a curve first comes to a value, in SI, as the build looks for it; null where it never does. */
function reached({ value }: Curve, [from, to, end]: Range, level: number): number | null {
  let rising = false;
  let before = NaN;
  const past = (v: number): boolean => (rising ? v >= level : v <= level);
  for (let i = 0; i < 2 * points; i++) {
    let t = i < points ? from + ((to - from) * i) / (points - 1) : to + ((end - to) * (i - points)) / (points - 1);
    const v = value(t);
    if (v !== v) before = NaN;
    else if (before !== before) {
      if (v === level) return t;
      rising = v < level;
      before = t;
    } else if (past(v)) {
      for (let n = 0; n < halvings; n++) {
        const middle = before + (t - before) / 2;
        if (past(value(middle))) t = middle;
        else before = middle;
      }
      return t;
    } else before = t;
  }
  return null;
}

const nameOf = ([{ fields }, i]: Asked): string => labelOf(fields[i]!);

/** What is entered, in words. */
const inWords = (list: Asked[]): string =>
  list
    .map((asked) => {
      const [{ fields, base }, i] = asked;
      return `${nameOf(asked)} ${own((base[i]?.said ?? fields[i]!.value).replace(" ", "\u00a0"))}`;
    })
    .join(word.list.comma);

function startCurve(figure: Plotted): void {
  const section = figure.closest<Timed>(".timing")!;
  const rows = all("[data-mark]", section);
  const last = rows[rows.length - 1]!;
  const tolerance = Number(section.dataset.tolerance); // NaN for limits from a specification
  const [symbol, factor]: Unit = (tolerance ? undefined : data.specs?.[section.dataset.reading!])?.units[0] ?? ["s", 1, 0];
  const computed = (s: number): string => format(s / factor, 3);
  const timeOf = (s: number): string => `${computed(s)}\u00a0${symbol}`;
  const { plot, over, from, to } = figure.dataset;
  const range: Range = [+from!, +to!, data.calculators![plot!]!.inputs[+over!]!.max!];
  const never = timeOf(range[2]);
  const link = one(".by a", section)!;
  let offered = "";
  const keys = make("p");
  keys.className = "keys";

  /** Shows when the marks are expected, and returns when the last one is. */
  function show(curve: Curve, taken: (mark: string) => number): number | null {
    const svg = one("svg.plot", figure)!;
    const [left, top, width, height] = svg.dataset.box!.split(" ").map(Number) as [number, number, number, number];
    const spots = svg.querySelectorAll(".plot-spot");
    let spot = 0;
    let at: number | null = null;
    for (const row of rows) {
      if (!row.dataset.level) continue;
      const level = Number(row.dataset.level);
      at = reached(curve, range, level);
      put(row.children[1]!, at === null ? fill(word.timing.never, { time: never }) : timeOf(at));
      const time = taken(row.dataset.mark!);
      const [x, y] = curve.place(time === time ? time : (at ?? NaN), level);
      const e = spots[spot++]!;
      const seen = x >= left && x <= left + width && y >= top && y <= top + height;
      e.setAttribute("display", seen ? "" : "none");
      if (seen) e.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      e.setAttribute("fill", time === time ? "currentColor" : "none");
    }
    return last.dataset.level ? at : null;
  }

  /** Goes to a field, which may stand in another card. */
  function goTo(field: HTMLElement): void {
    if (field.getClientRects().length) return field.focus();
    // The card that is gone to takes the focus when it is drawn.
    document.addEventListener("benchleaf-step", () => setTimeout(() => field.focus()), { once: true });
    link.click();
  }

  /**
   * Below the verdict: keys for what is missing. What a specification presets may be
   * confirmed; the page's own example is typed over.
   */
  function offer(missing: Curve["missing"]): void {
    if (!keys.isConnected) one("output", section)!.after(keys);
    const preset = missing.filter(([{ c }, i]) => c.inputs[i]!.spec);
    const text = preset.length ? fill(word.timing.asEntered, { given: inWords(preset) }) : "";
    const asked = text + missing.map(nameOf).join();
    if (asked === offered) return;
    offered = asked;
    const confirm = button(text, () => {
      for (const [{ fields }, i] of preset) fields[i]!.dispatchEvent(new Event("input", { bubbles: true }));
      one("h3", section)!.focus({ preventScroll: true }); // the key goes
    });
    const first = missing.find((one) => !preset.includes(one)) ?? missing[0];
    const enter = button(link.textContent!, () => goTo(first![0].fields[first![1]]!));
    keys.replaceChildren(...(text ? [confirm] : []), ...(first ? [enter] : []));
  }

  section.expect = (taken) => {
    const { curve } = figure;
    if (!curve) return "";
    const { missing, read, model } = curve;
    const exact = show(curve, taken);
    const at = exact && Math.round(100 * exact) / 100; // the record has no more
    const limits: [number, number] | null = at === null ? null : [at * (1 - tolerance), at * (1 + tolerance)];
    if (tolerance) {
      const span = limits ? fill(word.limit.range, { min: computed(limits[0]), max: timeOf(limits[1]) }) : "–";
      const given = inWords([...read, ...missing]);
      const share = `${inSigns(Number((100 * tolerance).toFixed(3)))}\u00a0%`;
      put(one(".limit dd", section)!, fill(word.timing.limit, { tolerance: share, range: given ? `${span} (${given})` : span }));
      offer(missing);
    }
    const known = !missing.length && !model;
    Object.assign(section.dataset, {
      expected: known && at !== null ? String(at) : "",
      given: known
        ? JSON.stringify(
            read.map((asked) => {
              const [{ c, base }, i] = asked;
              const unit = c.inputs[i]!.units![0];
              return { title: nameOf(asked), value: Number(fromSI(unit, base[i]?.si ?? NaN).toPrecision(9)), unit: unit[0] };
            }),
          )
        : "",
    });
    if (model) return null;
    if (missing.length) return fill(word.verdict.enter, { input: missing.map(nameOf).join(word.list.comma) });
    if (!limits) return fill(word.timing.noCurve, { mark: one("th", last)!.firstChild!.textContent!.trim(), time: never });
    return [...limits, at, null];
  };
}

for (const figure of all<Plotted>(".timing .plotted")) startCurve(figure);
