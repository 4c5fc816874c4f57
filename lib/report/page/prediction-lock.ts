import type { Settings } from "../../show/lesson-outputs.js";

/** Name of the event that tells a simulation that the reader has predicted. */
export const predicted = "predicted";

/** What the simulation is told. */
export interface Prediction {
  /** Settings that answer the question. */
  readonly settings: Settings;
  /** Shows the figure and frees the controls; called when the settings are taken. */
  readonly reveal: () => void;
}

/**
 * Hides a simulation and locks its controls until the reader has predicted what it shows; then it
 * takes the settings of the question.
 */
export function lockUntilPredicted(): void {
  for (const choice of document.querySelectorAll<HTMLElement>(".choice")) {
    const simulation = document.getElementById(choice.dataset.unlocks ?? "");
    const dials = simulation?.querySelector<HTMLElement>(".dials");
    if (!simulation || !dials) continue;
    const reveal = locked(simulation, dials);
    const answer = () => {
      const settings = JSON.parse(choice.dataset.shows ?? "{}") as Settings;
      const detail: Prediction = { settings, reveal };
      // A simulation that is not alive has nobody who takes the event up.
      const event = new CustomEvent(predicted, { detail, cancelable: true });
      if (simulation.dispatchEvent(event)) reveal();
    };
    choice.addEventListener("toggle", answer, { capture: true, once: true });
  }
}

/** Locks a simulation; what is returned unlocks it. */
function locked(simulation: HTMLElement, dials: HTMLElement): () => void {
  const note = document.createElement("p");
  note.className = "lock";
  note.textContent =
    "Choose an answer to the question above first: what do you expect? Then the figure appears.";
  const controls = [...dials.querySelectorAll<HTMLElement>(".settings, .acts")];
  for (const part of controls) part.inert = true;
  simulation.classList.add("locked");
  dials.prepend(note);
  return () => {
    for (const part of controls) part.inert = false;
    simulation.classList.remove("locked");
    note.remove();
  };
}
