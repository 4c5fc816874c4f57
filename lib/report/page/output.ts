import type { Played } from "../../learn/model.js";
import type { Settings } from "../../show/lesson-outputs.js";
import type { PlayDesk } from "./lesson-desk.js";
import { LiveSimulation } from "./simulation.js";

type PlayAgain = (model: string, settings: Settings, seed: number, language: string) => Played;

/** So many frames an output may take to be put into its document. */
const patience = 300;

/**
 * Gives an output of a notebook its sliders. The model runs in the document itself: an output has no
 * worker of its own.
 */
export function enlivenOutput(playAgain: PlayAgain, id: string, frames = patience): void {
  const place = document.getElementById(id);
  if (!place) {
    if (frames > 0) requestAnimationFrame(() => enlivenOutput(playAgain, id, frames - 1));
    return;
  }
  if (place.dataset.live) return;
  place.dataset.live = "yes";
  const desk: PlayDesk = async ({ model, settings, seed, language }) =>
    playAgain(model, settings, seed, language);
  new LiveSimulation(place, desk);
}
