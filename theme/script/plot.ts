/**
 * Plots: the line and the point of what is entered, drawn anew at every entry. The script of a
 * page with plots, besides its own; a stopwatch's curves are among them.
 */

import { drawSoon } from "./calculator";
import "./curve";
import { data, unitFor, type Unit } from "./data";
import { inputs, lives, usable, type Live } from "./doubt";
import { all, one } from "./dom";
import { system } from "./system";
import { fromSI } from "./unit";

/** As many values as the build draws the line through. */
const points = 97;

/** What a plot shows, for the stopwatch, which is a script of its own. */
export interface Curve extends Readings {
  /** The result at a value of the input, both in SI; NaN where there is none. */
  value: (si: number) => number;
  /** Where a point, in SI, stands in the picture. */
  place: (x: number, y: number) => [number, number];
}

/** An input of a calculator. */
export type Asked = [live: Live, input: number];

/** What stands between a calculator and its verdict. */
export interface Readings {
  /** What was read. */
  read: Asked[];
  /** What should be read and is still the sheet's example. */
  missing: Asked[];
  /** A figure depends on the model, and none is chosen. */
  model: boolean;
}

/** A plot's figure, with its curve once that is drawn. */
export type Plotted = HTMLElement & { curve?: Curve };

/** The unit of an axis, as the build has it: sizes of the wire gauge are none. */
function axisUnit(units: Unit[]): Unit {
  const unit = unitFor(units, data.system ?? "metric");
  return unit[1] ? unit : unitFor(units, "metric");
}

declare global {
  interface Window {
    /** Draws the plots of a calculator. */
    benchleafPlot?(live: Live, found: Readings): void;
  }
}

/** Draws the plots of a calculator. The picture's own attributes say where its box stands. */
function draw(live: Live, found: Readings): void {
  for (const figure of all<Plotted>(`[data-plot="${live.form.id}"]`)) {
    const { over, show, from, to } = figure.dataset;
    const svg = one("svg.plot", figure)!;
    const [left, top, width, height] = svg.dataset.box!.split(" ").map(Number) as [number, number, number, number];
    const [x0, x1, y0, y1] = svg.dataset.range!.split(" ").map(Number) as [number, number, number, number];
    const x = axisUnit(live.c.inputs[+over!]!.units!);
    const y = axisUnit(live.c.results[+show!]!.units!);
    const follower = live.c.inputs.findIndex((input, i) => input.follows === +over! && live.base[i] === undefined);
    const values = inputs(live);
    const known = values.every((v, i) => usable(live, v, i) || i === +over!);

    const value = (si: number): number => {
      const in_ = values.slice() as number[];
      if (follower >= 0) in_[follower] = si;
      in_[+over!] = si;
      try {
        return known ? live.run(...in_)[+show!]! : NaN;
      } catch {
        return NaN;
      }
    };
    const place = (si: number, v: number): [number, number] => [
      left + ((fromSI(x, si) - x0) / (x1 - x0)) * width,
      Math.max(-1e4, Math.min(1e4, top + ((y1 - fromSI(y, v)) / (y1 - y0)) * height)),
    ];
    const at = (si: number): [number, number] | null => {
      const v = value(si);
      return v === v ? place(si, v) : null;
    };

    let d = "";
    let last: [number, number] | null = null;
    const side = (y: number): number => (y < top ? -1 : y > top + height ? 1 : 0);
    for (let i = 0; i < points; i++) {
      const p = at(+from! + ((+to! - +from!) * i) / (points - 1));
      // From beyond one side to beyond the other there is no line, but a pole.
      const pole = p && last && side(p[1]) * side(last[1]) < 0;
      if (p) d += (last && !pole ? "L" : "M") + p[0].toFixed(1) + " " + p[1].toFixed(1);
      last = p;
    }
    one(".plot-line", svg)!.setAttribute("d", d);
    const now = values[+over!]!;
    const p = known && usable(live, now, +over!) ? at(now!) : null;
    const seen = p && p[0] >= left && p[0] <= left + width && p[1] >= top && p[1] <= top + height;
    for (const mark of all(".plot-mark", svg)) {
      mark.setAttribute("display", seen ? "" : "none");
      if (seen) mark.setAttribute("transform", `translate(${p[0].toFixed(1)} ${p[1].toFixed(1)})`);
    }
    for (const ticks of all("g.ticks[data-system]", svg))
      ticks.setAttribute("display", ["", system()].includes(ticks.dataset.system!) ? "" : "none");
    figure.curve = { value, place, ...found };
    figure.dispatchEvent(new Event("benchleaf-plot"));
  }
}

window.benchleafPlot = draw;
// Calculators may have been live before it.
for (const live of lives.values()) if (live.base.length) drawSoon(live);
