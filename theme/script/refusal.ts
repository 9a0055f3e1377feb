/** Why a record that came from outside is refused, in words. */

import { fill } from "./dom";

export class Refusal extends Error {}

export const refuse = (why: string, place = ""): never => {
  throw new Refusal(fill(why, { place }));
};
