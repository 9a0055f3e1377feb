/** The script of jobs on a page with calculators and no steps. */

import { take } from "./hand";
import { drawBar, startBar } from "./jobbar";
import { current } from "./records";

startBar(drawBar);
take(current());
