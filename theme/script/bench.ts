/** The script of a sheet with calculators. */

import "./main";
import "./lend-bench";
import { startCalculators } from "./calculator";

void startCalculators();
