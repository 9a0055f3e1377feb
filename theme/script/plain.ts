/** The script of a page without steps, readings and calculators: it knows the model at hand. */

import "./lend-first";
import { startModel } from "./model";
import "./returned";

startModel();
