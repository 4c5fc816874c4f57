/**
 * What the program of a kernel connects before the first cell runs. The library itself connects
 * nothing when it is imported.
 */
import { playInPlace } from "./learn/simulation.js";
import { displayInKernel } from "./notebook/bridge.js";
import { addValueView, type ValueView } from "./notebook/last-value.js";
import { cellValueForms } from "./show/cell-value.js";
import { onDisplay } from "./show/display.js";

/** Fits, estimates, answers and studies are shown as a reader reads them. */
const valueView: ValueView = (value) => {
  const forms = cellValueForms(value);
  return forms && { ...forms };
};

/**
 * Sends findings, figures and tables to the cell that states them.
 * @param frontEnd a person works in a Jupyter front end: simulations get their sliders in place
 */
export function connectDisplay(frontEnd: boolean): void {
  onDisplay(displayInKernel);
  addValueView(valueView);
  if (!frontEnd) return;
  void import("./report/live-output.js").then(
    ({ liveOutput }) => playInPlace(liveOutput),
    () => undefined, // without the bundler the first state is shown
  );
}
