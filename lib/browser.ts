/**
 * The root entry in a browser: the same names, and studies that the page carries with it, because
 * a page has no folder to open. The package's "browser" field puts browser-files.ts in the place
 * of study/files.ts.
 * @packageDocumentation
 */
export { type EmbeddedStudy, embedStudies } from "./browser-files.js";
export * from "./index.js";
