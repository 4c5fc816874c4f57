import { offerExercises } from "./exercise.js";
import { workerDesk } from "./lesson-desk.js";
import { repaintFigures, watchFigures, watchPrinting } from "./live-figures.js";
import { offerRecomputing } from "./recompute.js";
import { offerSimulations } from "./simulation.js";
import { applyTheme, offerTheme } from "./theme.js";

function offerUnfolding(): void {
  for (const button of document.querySelectorAll<HTMLButtonElement>("[data-act=unfold]")) {
    button.addEventListener("click", () => {
      const cells =
        button.closest("article")?.querySelectorAll<HTMLDetailsElement>("details.code") ?? [];
      const open = [...cells].some((cell) => !cell.open);
      for (const cell of cells) cell.open = open;
      button.textContent = open ? "Fold all code" : "Unfold all code";
    });
  }
}

document.documentElement.classList.add("js");
applyTheme();
document.addEventListener("DOMContentLoaded", () => {
  offerTheme(repaintFigures);
  offerUnfolding();
  offerRecomputing();
  const desk = workerDesk();
  offerSimulations(desk);
  offerExercises(desk);
  watchFigures();
  watchPrinting();
});
