import type { FormContent } from "../form-content.js";
import { countedEntries } from "../form-export.js";
import { Desk } from "./desk.js";
import { diaryScreen } from "./diary-screen.js";
import { button, type Child, element } from "./element.js";
import { screeningScreen } from "./screening-screen.js";
import { startScreen } from "./start-screen.js";
import { JournalStore } from "./store.js";
import { storageScreen, summaryScreen } from "./summary-screen.js";
import { trialScreen } from "./trial-screen.js";
import { warmUpScreen } from "./warm-up-screen.js";

/** Starts the form in its page. */
async function start(): Promise<void> {
  const place = document.querySelector("main");
  const text = document.querySelector("script[type='application/json']")?.textContent;
  if (!place || !text) return;
  const content = JSON.parse(text) as FormContent;
  let desk: Desk;
  try {
    desk = await openDesk(content, () => draw(place, desk));
  } catch {
    place.replaceChildren(
      element(
        "p",
        { class: "caution", role: "alert" },
        "This browser does not let the form store anything, so it cannot be used here: entries would be lost. Open it in another browser, or outside a private window; or use the printed sheets.",
      ),
    );
    return;
  }
  draw(place, desk);
}

async function openDesk(content: FormContent, draw: () => void): Promise<Desk> {
  const name = `tautline-form ${content.study} ${content.purpose}`;
  let desk: Desk | undefined;
  const store = await JournalStore.open(name, () => {
    // What is being typed in this tab stays; the journal is current all the same.
    void desk?.refresh().then(() => {
      if (!isTyping()) draw();
    });
  });
  const device = await store.fact("device", () => {
    const bytes = crypto.getRandomValues(new Uint8Array(3));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  });
  desk = new Desk(content, { store, device, draw });
  await desk.refresh();
  return desk;
}

function isTyping(): boolean {
  const { activeElement } = document;
  return activeElement instanceof HTMLInputElement && activeElement.value !== "";
}

function draw(place: HTMLElement, desk: Desk): void {
  const shown = screenOf(desk);
  if (shown === undefined) return;
  place.replaceChildren(
    element("p", { class: "message", "aria-live": "polite", "data-part": "message" }, desk.message),
    ...[shown].flat(3).filter((part): part is Node | string => part !== undefined),
    element(
      "footer",
      {},
      `${countedEntries(desk.journal.length, "entry")} stored on this device. `,
      desk.screen === "storage"
        ? undefined
        : button("What is stored where", () => desk.go("storage")),
    ),
  );
  if (desk.screen !== "trials") window.scrollTo(0, 0);
}

function screenOf(desk: Desk): Child {
  const { screen, visit } = desk;
  if (screen === "storage") return storageScreen(desk);
  if (screen === "diary") return diaryScreen(desk);
  if (screen === "start" || !visit || visit.participant === "") return startScreen(desk);
  if (screen === "screening") return screeningScreen(desk, visit);
  if (screen === "warm-up") return warmUpScreen(desk, visit);
  if (screen === "trials") return trialScreen(desk, visit);
  return summaryScreen(desk, visit);
}

void start();
