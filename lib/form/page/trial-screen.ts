import { identityOf, standingRows } from "../journal.js";
import { type TestTask, tasksOf } from "../test-steps.js";
import { calibrationPart } from "./calibration-part.js";
import type { Desk, Visit } from "./desk.js";
import { button, type Child, element } from "./element.js";
import { pastTrials } from "./past-trials.js";
import { TrialForm } from "./trial-form.js";

/** What the tester chose beside the plan: another trial, or one more. */
const chosen = new Map<string, TestTask>();

/** One trial after another, in the order of the recording sheets. */
export function trialScreen(desk: Desk, visit: Visit): Child {
  const done = standingRows(desk.journal).filter(
    ({ row }) => row.participant === visit.participant && row.occasion === visit.occasion,
  );
  const recorded = new Set(done.map(({ file, row }) => identityOf(file, row)));
  const open = tasksOf(desk.content, visit.participant, visit.occasion).filter(
    ({ file, row }) => !recorded.has(identityOf(file, row)),
  );
  const key = `${visit.participant} ${visit.occasion}`;
  const task = chosen.get(key) ?? open[0];
  const finish = () => desk.go("summary");
  if (!task) {
    queueMicrotask(finish);
    return undefined;
  }
  return [
    calibrationPart(desk),
    new TrialForm(desk, visit, task, (next) => {
      if (next) chosen.set(key, next);
      else chosen.delete(key);
    }).parts(),
    pastTrials(desk, done),
    element(
      "details",
      {},
      element("summary", {}, `${open.length} trials to do`),
      element(
        "ol",
        {},
        open.map((one) => {
          const choose = () => {
            chosen.set(key, one);
            desk.draw();
          };
          return element("li", {}, button(`${one.title}. ${one.count}`, choose));
        }),
      ),
    ),
    button("End this visit", finish),
    button("Back to the golfers", () => desk.go("start")),
  ];
}
