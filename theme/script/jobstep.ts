/**
 * The script of a step: what comes before it, and the answers that are asked for once
 * more. The script of jobs loads it, and gives it what is at hand.
 */

import { startAgainst } from "./against";
import { drawFirst, type Hand } from "./first";

declare global {
  interface Window {
    /** Draws what the record adds to a step. */
    benchleafStep?(step: HTMLElement, hand: Hand): void;
  }
}

window.benchleafStep = drawFirst;
startAgainst();
