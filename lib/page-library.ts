/** The library as the worker of a report's page uses it. */
import * as tautline from "./browser.js";
import * as learn from "./entries/learn.js";
import * as simulate from "./entries/simulate.js";
import * as stats from "./entries/stats.js";
import * as units from "./entries/units.js";

export { embedStudies } from "./browser-files.js";
export { respondHere } from "./learn/exercise.js";
export { handedIn } from "./learn/hand-in.js";
export { playAgain } from "./learn/models.js";
export { practice } from "./learn/practice.js";
export { replyWords } from "./learn/words/languages.js";
export { compareNotebooks } from "./notebook/compare.js";
export { onDisplay } from "./show/display.js";

/** What a notebook's cell gets for the name that it imports from. */
export const entries = {
  tautline,
  "tautline/stats": stats,
  "tautline/units": units,
  "tautline/learn": learn,
  "tautline/simulate": simulate,
};
