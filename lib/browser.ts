/**
 * The library as a page gets it. The bundler puts browser-files.ts in the place of study/files.ts;
 * everything else is the same code that runs in a notebook.
 */
export { embedStudies } from "./browser-files.js";
export * from "./index.js";
export { respond } from "./learn/answers.js";
export { checkText } from "./learn/exercise.js";
export { playAgain } from "./learn/models.js";
export { compareNotebooks } from "./notebook/compare.js";
