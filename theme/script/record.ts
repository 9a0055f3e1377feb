/**
 * The record of a job: one machine, from what the customer says to the check
 * after the repair. docs/record.md documents this form; whoever changes it
 * raises its number.
 */

/** A time, RFC 3339 in UTC. */
export type Time = string;

export interface Job {
  record: 1;
  /** 32 hexadecimal digits. */
  id: string;
  handbook: { title: string; edition: string; date?: string; language: string };
  machine: {
    model?: string;
    serial?: string;
    hours?: number;
    /** What is not as delivered. */
    fitted?: string;
    /** What the engine drives. */
    drives?: string;
  };
  ambient?: { value: number; unit: string };
  /** The customer's words. */
  complaint?: string;
  /** The meter and its calibration. */
  meter?: string;
  note?: string;
  begun: Time;
  changed: Time;
  closed?: Time;
  /** In the order of their times. */
  entries: Entry[];
  ruledOut: RuledOut[];
  findings: Finding[];
  /** Settings of the machine that still stand, by their ids. */
  left: string[];
  /** Readings that were typed and are not answered yet. */
  open?: Open[];
}

/** A step that was answered. */
export interface Entry {
  page: string;
  step: string;
  number: number;
  title: string;
  state?: string;
  shown: Time;
  at: Time;
  said: string;
  outcome?: Outcome;
  /** "#id" of a card of the same page, or an address from the handbook's root. */
  to: string;
  verification?: true;
  reading?: Reading;
  timing?: Timing;
}

export type Outcome = "low" | "within" | "high" | "none" | "unstable";

export interface Reading {
  spec: string;
  measure: string;
  red?: string;
  black?: string;
  conditions?: string;
  /** As it was typed; a figure that has no value, with its unit. */
  text: string;
  /** In the unit, as are the limits and the bound of the meter. */
  value?: number;
  unit: string;
  min?: number;
  max?: number;
  doubt?: number;
  verdict: "within" | "low" | "high" | "close" | "none" | "";
}

/** A reading in a step that was not answered since. */
export interface Open {
  page: string;
  step: string;
  number: number;
  title: string;
  state?: string;
  /** When it was typed. */
  at: Time;
  reading: Reading;
}

export interface Timing {
  marks: { name: string; title: string; at: Time }[];
  /** In seconds, of the last mark. */
  expected?: number;
  /** The share of that by which a time may be off, where the limits follow from it. */
  tolerance?: number;
  /** What was read of the machine and its surroundings, for which that is expected. */
  given?: { title: string; value: number; unit: string }[];
}

/** A cause that another answer of a passed step leads to. */
export interface RuledOut {
  page: string;
  cause: string;
  title: string;
  /** The index of the entry that rules it out. */
  entry: number;
}

export interface Finding {
  end: "cause" | "hand-over" | "not-reproduced";
  page: string;
  cause?: string;
  title?: string;
  part?: string;
  partTitle?: string;
  at: Time;
  /** The index of the entry whose reading condemns the part; left out for none. */
  condemnedBy?: number;
  remedy?: Remedy;
  repaired?: Time;
}

export interface Remedy {
  text: string;
  replaced: boolean;
  at: Time;
}
