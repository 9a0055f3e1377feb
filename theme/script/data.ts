/** What the script cannot read from the page's elements; render/page writes it. */

import { onRenewed, renew } from "../desk/renew";
import { one } from "./dom";
import type { Serials } from "./serial";

/**
 * A unit: si = (v + offset) * factor. A factor of 0 is the wire gauge. The
 * system, "m" or "i", is that which asks for this unit and for no other.
 */
export type Unit = [symbol: string, factor: number, offset: number, system?: string];

/** The unit of a quantity in a system of units. */
export const unitFor = (units: Unit[], system: string): Unit => units.find((u) => u[3] === system[0]) ?? units[0]!;

/** Limits of a specification in its unit. */
export type Limit = [min: number | null, max: number | null, nominal: number | null, tolerance: number | null];

export interface Spec {
  units: [Unit, ...Unit[]];
  /** The meter's bound is share * |reading| + added; what can be read lies from least to most. */
  meter: [share: number, added: number, least?: number, most?: number];
  /** By model; "" in a handbook without models. null: it depends on the serial number, see range.ts. */
  limits: Record<string, Limit | null | undefined>;
}

export interface Input {
  name: string;
  /** None for a choice. */
  units?: [Unit, ...Unit[]];
  /** Bounds in SI; those left out are 0. */
  min?: number;
  max?: number;
  range?: string;
  optional?: boolean;
  /** The index of the input whose value it takes until something is typed in it. */
  follows?: number;
  /** The calculator and its result that it takes until something is typed in it. */
  from?: [calculator: string, result: number];
  /** The bound of the meter it is read with, in its first unit: share * |reading| + added. */
  meter?: [share: number, added: number];
  /** The specification whose nominal value (or tolerance) is preset. */
  spec?: string;
  within?: boolean;
}

export interface Result {
  name: string;
  units?: Unit[];
  digits?: number;
  /** The options' words and, for a verdict, their names. */
  words?: string[];
  keys?: string[];
}

export interface Calculator {
  inputs: Input[];
  results: Result[];
  limits?: [result: string, spec: string][];
}

interface Data {
  /** Of units, where it is not metric. */
  system?: string;
  decimal?: string;
  specs?: Record<string, Spec>;
  calculators?: Record<string, Calculator>;
  /** Names and areas (m²) of the wire gauge, in turn. */
  sizes?: (string | number)[];
  /** Settings of the machine that the procedure names, and the engine states that allow them, by id. */
  settings?: Record<string, [title: string, restore: string, states?: string]>;
  /** Of the jobs page: of each procedure its address, its title, then the ids of its steps. */
  pages?: Record<string, string[]>;
  /** And of specifications that have had others the unit and the limits that hold, by model; more than one where they depend on the serial number. */
  now?: Record<string, [unit: string, limits: Record<string, Limit[]>]>;
  /** And the engine states' titles, by id. */
  states?: Record<string, string>;
  /** Of the jobs page and of that of models: the models' serial numbers. */
  serials?: Serials[];
}

export const data = JSON.parse(one("script#page-data")?.textContent || "{}") as Data;

if (desk) onRenewed(() => renew(data, JSON.parse(one("script#page-data")?.textContent || "{}") as Data));
