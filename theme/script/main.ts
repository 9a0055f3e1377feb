/** The script of a sheet: the static sheet is complete, this makes it live. */

import "./lend-first";
import "./lend-page";
import "./shell";
import { startGuide } from "./guide";
import { startModel } from "./model";
import { startReadings } from "./reading";

startReadings();
startGuide();
startModel();
