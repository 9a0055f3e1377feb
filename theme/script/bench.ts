/** The script of a sheet with calculators. */

import "./main";
import { startCalculators } from "./calculator";

void startCalculators();
