/** The script that draws QR codes, loaded when one is first asked for. */

import { correction, generate } from "./lean-qr";

/** A code: black is 1. */
export interface Code {
  size: number;
  get(x: number, y: number): boolean;
}

declare global {
  interface Window {
    benchleafCode?(text: string): Code;
  }
}

/** The library's file has no types. */
type Generate = (text: string, options: { minCorrectionLevel: number }) => Code;

window.benchleafCode = (text) => (generate as unknown as Generate)(text, { minCorrectionLevel: correction.M });
