/** A circuit with planted faults, as render/page writes it. */

import { read, solve, type Function, type Network, type Reading } from "./circuit";

/** A number, null where it is infinite, one for each state, or one for each model. */
type Amount = number | null | (number | null)[] | { [model: string]: number | null };

interface Element {
  from: number;
  to: number;
  volts?: Amount;
  ohms: Amount;
  fuse?: number;
  coil?: number;
  pull?: number;
  drop?: number;
  openedBy?: string[];
  closedBy?: string[];
  closedIn?: number[];
  /** It is open unless something closes it. */
  switch?: boolean;
}

export interface Fault {
  code: string;
  /** The id of its cause's card. */
  cause: string;
  text: string;
  element?: number;
  between?: [number, number];
  volts?: boolean;
  in?: number[];
  /** It comes and goes. */
  intermittent?: boolean;
  value?: number | null;
  /** What steps show to who looks, by their ids. */
  shows?: Record<string, string>;
  /** The steps that lead to the cause. */
  way: string[];
}

/** The factor of the unit that is shown, the worth of the last digit in it, and its symbol. */
export type Meter = [factor: number, resolution: number, symbol: string];

export interface Step {
  minutes?: number;
  state?: number;
  at?: [red: number, black: number];
  function?: Function;
  /** What reads it, where that is not the meter of the function: one of mA. */
  meter?: Meter;
  /** What stands while the reading is taken, in place of what else would. */
  with?: string[];
  requires?: string[];
  forbids?: string[];
  restores?: string[];
  sets?: string[];
}

export interface Practice {
  ground: number;
  points: [name: string, title: string][];
  /** From: the minutes that it takes to come here from each state. */
  states: { title: string; from: number[] }[];
  settings: Record<string, { title: string; states?: number[] }>;
  branches: Element[];
  faults: Fault[];
  steps: Record<string, Step>;
  meters: Record<Function, Meter>;
}

/** A machine on the bench. */
export interface Machine {
  model: string;
  state: number;
  standing: string[];
  fault?: Fault;
  /** An intermittent fault is not there just now. */
  away?: boolean;
}

function amount(a: Amount | undefined, { model, state }: Machine): number {
  const v = Array.isArray(a) ? a[state] : a && typeof a === "object" ? a[model] : a;
  return v === null ? Infinity : (v ?? 0);
}

function plainNetwork(p: Practice, m: Machine): Network {
  const { fault, state, standing } = m;
  const stands = (list?: string[]): boolean => !!list?.some((s) => standing.includes(s));
  const branches = p.branches.map((e, i) => {
    let volts = amount(e.volts, m);
    let ohms = amount(e.ohms, m);
    if (fault?.element === i && (!fault.in || fault.in.includes(state))) {
      if (fault.volts) volts = fault.value!;
      else ohms = fault.value ?? Infinity;
    }
    if (stands(e.openedBy) || (e.switch && !stands(e.closedBy) && !e.closedIn?.includes(state))) ohms = Infinity;
    return { from: e.from, to: e.to, volts, ohms, fuse: e.fuse ?? 0, coil: e.coil ?? i, pull: e.pull ?? 0, drop: e.drop ?? 0 };
  });
  if (fault?.between) {
    const [from, to] = fault.between;
    branches.push({ from, to, volts: 0, ohms: fault.value ?? Infinity, fuse: 0, coil: branches.length, pull: 0, drop: 0 });
  }
  return { nodes: p.points.length, ground: p.ground, branches };
}

/** What a meter shows on a machine. A fuse that blows in any state is blown: the machine has been run. */
export function measure(p: Practice, m: Machine, f: Function, red: number, black: number): Reading | null {
  const n = plainNetwork(p, m.away ? { ...m, fault: undefined } : m);
  p.states.forEach((_, state) => {
    const s = solve(plainNetwork(p, { ...m, state, standing: [] }));
    s?.blown.forEach((blown, i) => {
      if (blown) n.branches[i]!.ohms = Infinity;
    });
  });
  return read(n, f, red, black);
}
