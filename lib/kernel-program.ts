/**
 * The program of a kernel, without what finds the copy of the library to run (`notebook/host.ts`).
 * The build joins it with the library's entries, so that a kernel starts from a few files, and the
 * display that is connected here is the one that the cells' import of the library has.
 */
export { connectDisplay } from "./kernel-display.js";
export { startStudyKernel } from "./notebook/study-kernel.js";
