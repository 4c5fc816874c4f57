import {
  deference,
  screeningQuestions,
  screeningRule,
  stopRule,
} from "../../study/plan/sheets-words.js";
import { entriesOf } from "../journal.js";
import type { Desk, Visit } from "./desk.js";
import { button, type Child, element, labelled, textField } from "./element.js";

/** Screening and cautions; confirmed once per golfer and visit. */
export function screeningScreen(desk: Desk, visit: Visit): Child {
  const entries = entriesOf(desk.journal, visit.participant, visit.occasion);
  const done = entries.find(({ what }) => what.event === "screened");
  if (done?.what.event === "screened" && done.what.tested) {
    const next = entries.some(({ what }) => what.event === "warmed-up") ? "trials" : "warm-up";
    queueMicrotask(() => desk.go(next));
    return undefined;
  }
  const answers: (boolean | undefined)[] = screeningQuestions.map(() => undefined);
  const permitted = textField({ maxlength: "80" });
  const after = element("div", { "aria-live": "polite" });
  const answered = () => after.replaceChildren(...decision(desk, visit, answers, permitted));
  return [
    element("h1", {}, `${visit.participant}: before the test`),
    element("p", { class: "caution" }, deference),
    screeningQuestions.map((question, i) =>
      element(
        "fieldset",
        { class: "question" },
        element("legend", {}, question),
        (["no", "yes"] as const).map((answer) => {
          const field = element("input", { type: "radio", name: `question-${i}`, value: answer });
          field.addEventListener("change", () => {
            answers[i] = answer === "yes";
            answered();
          });
          return element("label", { class: "choice" }, field, answer === "yes" ? "Yes" : "No");
        }),
      ),
    ),
    element("p", { class: "caution" }, screeningRule),
    element("p", { class: "caution" }, stopRule),
    element(
      "ul",
      {},
      desk.content.cautions.map((text) => element("li", {}, text)),
    ),
    after,
    button("Back to the golfers", () => desk.go("start")),
  ];
}

function decision(
  desk: Desk,
  visit: Visit,
  answers: readonly (boolean | undefined)[],
  permitted: HTMLInputElement,
): Node[] {
  if (answers.includes(undefined)) return [];
  const given = answers.map((answer) => answer === true);
  const screened = async (tested: boolean, permittedBy?: string) => {
    const stored = await desk.record({
      event: "screened",
      ...visit,
      answers: given,
      ...(permittedBy !== undefined && { permittedBy }),
      tested,
    });
    if (!stored) desk.draw();
    else desk.go(tested ? "warm-up" : "start");
  };
  const opened = () =>
    desk.record({
      event: "visit-opened",
      ...visit,
      tester: desk.setting.tester ?? "",
      devices: desk.setting,
    });
  const start = async (permittedBy?: string) => {
    if (await opened()) await screened(true, permittedBy);
    else desk.draw();
  };
  if (!given.includes(true)) {
    const label = "Every answer is no. The swing area is clear. Go on";
    return [button(label, () => void start(), "main")];
  }
  const note = element("p", { role: "alert" });
  const allowed = button("Go on, with this permission", () => {
    if (permitted.value.trim() !== "") void start(permitted.value.trim());
    else
      note.textContent = "Write who permitted the test (role, not a name), or do not test today.";
  });
  return [
    element("p", { class: "caution" }, screeningRule),
    button("Do not test today", () => void screened(false), "main"),
    labelled("Permitted by (for example: the golfer's physician)", "permitted", permitted),
    note,
    allowed,
  ];
}
