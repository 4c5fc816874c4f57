import { offerExercises } from "./exercise.js";
import { type Desk, workerDesk } from "./lesson-desk.js";
import { repaintFigures, watchFigures, watchPrinting } from "./live-figures.js";
import { lockUntilPredicted } from "./prediction-lock.js";
import { offerRecomputing } from "./recompute.js";
import { offerSimulations } from "./simulation.js";
import { applyTheme, offerTheme } from "./theme.js";

/** One switch for the code of all cells of a page. */
function offerCode(): void {
  for (const button of document.querySelectorAll<HTMLButtonElement>("[data-act=unfold]")) {
    button.addEventListener("click", () => {
      const open = button.getAttribute("aria-pressed") !== "true";
      const cells =
        button
          .closest("article")
          ?.querySelectorAll<HTMLDetailsElement>("details.code, details.returned") ?? [];
      for (const cell of cells) cell.open = open;
      button.closest("article")?.classList.toggle("with-code", open);
      button.setAttribute("aria-pressed", String(open));
      button.textContent = open ? "Hide code" : "Show code";
    });
  }
}

/** One switch for the sections of a page that are folded. */
function offerParts(): void {
  for (const button of document.querySelectorAll<HTMLButtonElement>("[data-act=open-parts]")) {
    button.addEventListener("click", () => {
      const open = button.getAttribute("aria-pressed") !== "true";
      const parts = button.closest("article")?.querySelectorAll<HTMLDetailsElement>("details.part");
      for (const part of parts ?? []) part.open = open;
      button.setAttribute("aria-pressed", String(open));
      button.textContent = open ? "Close every section" : "Open every section";
    });
  }
}

/** Sections stay as the reader left them when the page is loaded again, as after a save in `watch`. */
function keepParts(): void {
  const parts = [...document.querySelectorAll<HTMLDetailsElement>("details.part")];
  const kept: unknown = history.state?.open;
  if (Array.isArray(kept) && kept.length === parts.length) {
    parts.forEach((part, i) => {
      part.open = kept[i] === true;
    });
  }
  addEventListener("pagehide", () => {
    history.replaceState({ open: parts.map(({ open }) => open) }, "");
  });
}

/** The navigation of a narrow screen, behind its button. */
function offerMenu(): void {
  for (const button of document.querySelectorAll<HTMLButtonElement>("[data-act=menu]")) {
    const menu = document.getElementById(button.getAttribute("aria-controls") ?? "");
    button.addEventListener("click", () => {
      const open = button.getAttribute("aria-expanded") !== "true";
      button.setAttribute("aria-expanded", String(open));
      menu?.classList.toggle("open", open);
    });
  }
}

/** A link to something inside a fold opens the fold. */
function openTarget(): void {
  const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  let opened = false;
  for (let at = target?.parentElement; at; at = at.parentElement) {
    if (at instanceof HTMLDetailsElement && !at.open) {
      at.open = true;
      opened = true;
    }
  }
  if (opened) target?.scrollIntoView();
}

/** Starts the library of a lesson while the reader reads, so that the first answer comes at once. */
function warmUp(desk: Desk): void {
  if (!document.querySelector(".play.ready, .exercise[data-exercise]")) return;
  const ask = () => void desk({ ask: "practice", set: "cards", code: "class" }).catch(() => {});
  if ("requestIdleCallback" in window) requestIdleCallback(ask);
  else setTimeout(ask, 500);
}

document.documentElement.classList.add("js");
applyTheme();
document.addEventListener("DOMContentLoaded", () => {
  offerTheme(repaintFigures);
  offerCode();
  offerMenu();
  offerParts();
  keepParts();
  openTarget();
  addEventListener("hashchange", openTarget);
  offerRecomputing();
  const desk = workerDesk();
  offerSimulations(desk);
  lockUntilPredicted();
  offerExercises(desk);
  warmUp(desk);
  watchFigures();
  watchPrinting();
});
