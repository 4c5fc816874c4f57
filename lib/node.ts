/**
 * The package as a notebook gets it: the public names, and the ways out of a kernel. A page takes
 * the same names by browser.ts.
 */
import { playInPlace } from "./learn/simulation.js";
import { displayInKernel } from "./notebook/bridge.js";
import { onDisplay } from "./show/display.js";

export * from "./index.js";

// In a notebook, findings, figures and tables go to the cell that states them.
onDisplay(displayInKernel);

// In a Jupyter front end a simulation is played with where it stands; see notebook/study-kernel.ts.
if (Object.hasOwn(globalThis, Symbol.for("tautline.front-end"))) {
  void import("./report/live-output.js").then(
    ({ liveOutput }) => playInPlace(liveOutput),
    () => undefined, // without the bundler the first state is shown
  );
}
