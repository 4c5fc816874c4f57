import { gripScript, swingScript } from "../../study/plan/sheets-words.js";
import type { Desk, Visit } from "./desk.js";
import { button, type Child, element } from "./element.js";

/** The warm-up with a timer, and what the tester says. */
export function warmUpScreen(desk: Desk, visit: Visit): Child {
  const { design } = desk.content;
  const timer = element("p", { class: "timer", role: "timer" }, "0:00");
  let started: number | undefined;
  let clock: ReturnType<typeof setInterval> | undefined;
  const passed = () =>
    started === undefined ? 0 : Math.floor((performance.now() - started) / 1000);
  const start = () => {
    clearInterval(clock);
    started = performance.now();
    clock = setInterval(() => {
      if (!timer.isConnected) clearInterval(clock);
      const seconds = passed();
      timer.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    }, 250);
  };
  const finish = async () => {
    clearInterval(clock);
    const seconds = passed();
    if (await desk.record({ event: "warmed-up", ...visit, seconds })) desk.go("trials");
    else desk.draw();
  };
  const rest = { restSeconds: design.restSeconds || 60, trials: design.gripTrials };
  return [
    element("h1", {}, `${visit.participant}: warm-up`),
    element(
      "p",
      {},
      "Same warm-up as at every visit of this study. Stop if anything hurts. Start the timer when the golfer begins.",
    ),
    timer,
    button("Start the timer", start),
    button("Warm-up is done", () => void finish(), "main"),
    design.positions.length > 0
      ? [
          element("h2", {}, "Squeezes"),
          element(
            "ol",
            {},
            gripScript(rest).map((line) => element("li", {}, line)),
          ),
        ]
      : undefined,
    design.clubs.length > 0
      ? [
          element("h2", {}, "Swings"),
          element(
            "ol",
            {},
            swingScript(design).map((line) => element("li", {}, line)),
          ),
        ]
      : undefined,
  ];
}
