/**
 * Direct-current networks: the same as the build's package circuit, by the same
 * steps, so that both give the same.
 */

/** What lies between two nodes; ohms are Infinity where it is open. */
export interface Branch {
  from: number;
  to: number;
  volts: number;
  ohms: number;
  /** The rated current of a fuse, else 0. */
  fuse: number;
  /** The branch whose voltage closes this one; its own index where none does. */
  coil: number;
  pull: number;
  drop: number;
}

export interface Network {
  nodes: number;
  ground: number;
  branches: Branch[];
}

interface Solution {
  volts: number[];
  amps: number[];
  closed: boolean[];
  blown: boolean[];
}

export type Function = "volts" | "ohms" | "amps";

/** A value, or the name of what the meter shows or does in its place. */
export type Reading = number | "over" | "unsafe";

const slightest = 1e-12;
const blows = 1.35;

/** Solves rows of coefficients and right side; null where they have no single solution. */
function eliminate(rows: number[][]): number[] | null {
  const size = rows.length;
  const scale = rows.map((row) => Math.max(0, ...row.slice(0, size).map(Math.abs)));
  for (let k = 0; k < size; k++) {
    let best = k;
    let most = 0;
    for (let i = k; i < size; i++) {
      const share = Math.abs(rows[i]![k]!) / scale[i]!;
      if (share > most) [best, most] = [i, share];
    }
    if (!(most > slightest)) return null;
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    [scale[k], scale[best]] = [scale[best]!, scale[k]!];
    const pivot = rows[k]!;
    for (const row of rows.slice(k + 1)) {
      const factor = row[k]! / pivot[k]!;
      if (factor) for (let j = k; j <= size; j++) row[j]! -= factor * pivot[j]!;
    }
  }
  const x: number[] = [];
  for (let k = size - 1; k >= 0; k--) {
    let sum = rows[k]![size]!;
    for (let j = k + 1; j < size; j++) sum -= rows[k]![j]! * x[j]!;
    x[k] = sum / rows[k]![k]!;
    if (!isFinite(x[k]!)) return null;
  }
  return x;
}

/** For each node the one that stands for the part which closed branches tie it to. */
function partsOf({ nodes, ground, branches }: Network, closed: boolean[]): number[] {
  let part = Array.from({ length: nodes }, (_, i) => i);
  branches.forEach((b, i) => {
    let from = part[b.from]!;
    let to = part[b.to]!;
    if (!closed[i] || from === to) return;
    if (to === part[ground]) [from, to] = [to, from];
    part = part.map((p) => (p === to ? from : p));
  });
  return part;
}

/** Voltages and currents with relays and fuses as they stand. */
function settle(n: Network, s: Solution): boolean {
  const live = n.branches.map((_, i) => i).filter((i) => s.closed[i]);
  const size = n.nodes + live.length;
  const rows = Array.from({ length: size }, () => new Array<number>(size + 1).fill(0));
  live.forEach((i, k) => {
    const b = n.branches[i]!;
    const j = n.nodes + k;
    rows[b.from]![j]!++;
    rows[b.to]![j]!--;
    rows[j]![b.from]!++;
    rows[j]![b.to]!--;
    rows[j]![j]! -= b.ohms;
    rows[j]![size] = b.volts;
  });
  partsOf(n, s.closed).forEach((part, i) => {
    if (part === i) rows[i]!.fill(0)[i] = 1;
  });
  const x = eliminate(rows);
  if (!x) return false;
  s.volts = x.slice(0, n.nodes);
  s.amps = n.branches.map(() => 0);
  live.forEach((i, k) => (s.amps[i] = x[n.nodes + k]!));
  return true;
}

/** Lets relays and fuses follow what flows; tells whether one did. */
function move(n: Network, s: Solution): boolean {
  let moved = false;
  let worst = -1;
  let load = blows;
  n.branches.forEach((b, i) => {
    if (b.coil !== i && b.ohms !== Infinity && !s.blown[i]) {
      const coil = n.branches[b.coil]!;
      const v = s.closed[b.coil] ? Math.abs(s.volts[coil.from]! - s.volts[coil.to]!) : 0;
      const closed = v >= b.pull || (s.closed[i]! && v >= b.drop);
      if (closed !== s.closed[i]) {
        s.closed[i] = closed;
        moved = true;
      }
    }
    const share = b.fuse > 0 && s.closed[i] ? Math.abs(s.amps[i]!) / b.fuse : 0;
    if (share > load) [worst, load] = [i, share];
  });
  if (worst >= 0) {
    s.closed[worst] = false;
    s.blown[worst] = moved = true;
  }
  return moved;
}

/** The state that the network comes to from rest; null where it comes to none. */
export function solve(n: Network): Solution | null {
  const s: Solution = {
    volts: [],
    amps: [],
    closed: n.branches.map((b, i) => b.ohms !== Infinity && b.coil === i),
    blown: n.branches.map(() => false),
  };
  for (let round = 4 * n.branches.length + 4; round--; ) {
    if (!settle(n, s)) return null;
    if (!move(n, s)) return s;
  }
  return null;
}

/** The network with one more branch, the meter's. */
const withMeter = (n: Network, from: number, to: number, volts: number, ohms: number): Network => ({
  ...n,
  branches: [...n.branches, { from, to, volts, ohms, fuse: 0, coil: n.branches.length, pull: 0, drop: 0 }],
});

const clean = (v: number): number => (Math.abs(v) < 1e-9 ? 0 : v);

/** What a meter shows, red lead on one node, black one on another; null where nothing can be computed. */
export function read(n: Network, f: Function, red: number, black: number): Reading | null {
  if (f !== "ohms") {
    const s = solve(withMeter(n, red, black, 0, f === "volts" ? 10e6 : 0.01));
    if (!s) return null;
    if (f === "volts") return clean(s.volts[red]! - s.volts[black]!);
    const amps = clean(s.amps[n.branches.length]!);
    return Math.abs(amps) > 10 ? "unsafe" : amps;
  }
  const s = solve(n);
  if (!s) return null;
  if ([red, black].some((p) => Math.abs(s.volts[p]! - s.volts[n.ground]!) > 0.01)) return "unsafe";
  const dead = { ...n, branches: n.branches.filter((_, i) => s.closed[i]).map((b, coil) => ({ ...b, volts: 0, fuse: 0, coil })) };
  const test = solve(withMeter(dead, red, black, 1, 1000));
  if (!test) return null;
  const volts = test.volts[red]! - test.volts[black]!;
  const amps = -test.amps[dead.branches.length]!;
  return amps * 40e6 <= volts ? "over" : Math.max(0, volts / amps);
}
