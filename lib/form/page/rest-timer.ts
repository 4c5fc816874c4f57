import { element } from "./element.js";

/**
 * The rest of a hand, counted down while the page shows it.
 * @param secondsLeft seconds of rest that are left now; 0 when it is over
 */
export function restTimer(secondsLeft: () => number): HTMLElement {
  const timer = element("p", { class: "rest", role: "timer" });
  const show = () => {
    const left = secondsLeft();
    timer.textContent = left > 0 ? `Rest of this hand: ${left} s` : "Rest of this hand: done";
    timer.classList.toggle("running", left > 0);
    return left > 0;
  };
  if (show()) {
    const clock = setInterval(() => {
      if (!timer.isConnected || !show()) clearInterval(clock);
    }, 250);
  }
  return timer;
}
