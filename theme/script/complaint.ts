/** What is wrong with an entry: the field, and what it takes. */

import type { Unit } from "./data";
import { fill } from "./dom";

export function complaint(slip: string, field: string, range: string, units: Unit[]): string {
  const texts: Record<string, string> = {
    number: range ? word.error.number : word.error.reading,
    range: word.error.range,
    unit: word.error.unit,
    size: word.error.size,
    ambiguous: word.error.ambiguous,
    open: word.error.open,
  };
  return fill(texts[slip] ?? "", { field, range, units: units.map((u) => u[0]).join(word.list.comma) });
}
