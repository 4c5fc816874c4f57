import { standingRows } from "../journal.js";
import { typedNumber } from "../typed-number.js";
import { type Desk, localTime } from "./desk.js";
import { button, type Child, element, labelled, textField } from "./element.js";
import { filesPart } from "./summary-screen.js";

const painAdvice =
  "You entered pain. Stop the training for today. Do not squeeze or swing through pain. Tell the person who leads the study, and see a physician if it does not settle.";

const feelings = [
  ["none", "No discomfort"],
  ["mild", "Mild, went away"],
  ["stop", "Pain: I stopped"],
] as const;

/** The golfer's own record of training sessions. */
export function diaryScreen(desk: Desk): Child {
  const code = textField({ maxlength: "40", value: desk.setting.tester ?? "" });
  const date = element("input", { type: "date", value: localTime(new Date()).slice(0, 10) });
  const minutes = textField({ inputmode: "decimal" });
  const note = textField({ maxlength: "200" });
  const completed = choices("completed", [
    ["yes", "Yes, all of it"],
    ["no", "No, only a part"],
  ]);
  const discomfort = choices("discomfort", feelings);
  const alert = element("p", { role: "alert" });
  const store = async () => {
    const participant = code.value.trim();
    const typed = typedNumber(minutes.value, "min");
    const question = questionOf(desk, participant, {
      date: date.value,
      completed: completed.chosen(),
      discomfort: discomfort.chosen(),
    });
    if (question || typed.kind === "question") {
      alert.textContent = question ?? (typed.kind === "question" ? minutesQuestion(typed) : "");
      return;
    }
    if (typed.value > 600) {
      alert.textContent = "A session has at most 600 minutes. How many minutes was it?";
      return;
    }
    desk.setting = { ...desk.setting, tester: participant };
    const row = {
      participant,
      date: date.value,
      minutes: typed.text,
      completed: completed.chosen(),
      discomfort: discomfort.chosen(),
      note: note.value.trim(),
    };
    const stored = await desk.record({ event: "row", file: "training-log", row, kept: [] });
    if (stored && row.discomfort === "stop") desk.message = `Stored. ${painAdvice}`;
    desk.draw();
  };
  return [
    element("h1", {}, `Training diary: ${desk.content.title}`),
    labelled("Your code", "code", code),
    labelled("Day", "day", date),
    labelled("Minutes of training", "minutes", minutes),
    element("fieldset", {}, element("legend", {}, "Did you finish the session?"), completed.fields),
    element("fieldset", {}, element("legend", {}, "Pain or discomfort?"), discomfort.fields),
    labelled("Note (no names)", "diary-note", note),
    alert,
    button("Store", () => void store(), "main"),
    sessions(desk),
    filesPart(desk),
  ];
}

function minutesQuestion({ question, proposal }: { question: string; proposal?: string }): string {
  return proposal === undefined
    ? question.replace("does the device show", "was the time in minutes")
    : `Did you mean ${proposal} minutes? Type it with a point.`;
}

function questionOf(
  { content }: Desk,
  participant: string,
  { date, completed, discomfort }: Readonly<Record<"date" | "completed" | "discomfort", string>>,
): string | undefined {
  if (!content.people.some((person) => person.participant === participant))
    return "This code is not in the study. Check your code.";
  if (!/^\d{4}-\d{2}-\d{2}$/.test(date)) return "Choose the day of the session.";
  if (date > localTime(new Date()).slice(0, 10))
    return "This day is in the future. Choose the day of the session.";
  if (completed === "") return "Say whether you finished the session.";
  return discomfort === "" ? "Say whether you had pain or discomfort." : undefined;
}

function choices(
  name: string,
  options: readonly (readonly [value: string, label: string])[],
): { fields: Child; chosen: () => string } {
  let chosen = "";
  const fields = options.map(([value, label]) => {
    const field = element("input", { type: "radio", name, value });
    field.addEventListener("change", () => {
      chosen = value;
    });
    return element("label", { class: "choice" }, field, label);
  });
  return { fields, chosen: () => chosen };
}

function sessions(desk: Desk): Child {
  const rows = standingRows(desk.journal).filter(({ file }) => file === "training-log");
  if (rows.length === 0) return undefined;
  return element(
    "section",
    {},
    element("h2", {}, `Sessions: ${rows.length}`),
    element(
      "ul",
      {},
      rows.toReversed().map((one, i) => {
        const { date, minutes, completed } = one.row;
        const undo = async () => {
          const { entry, file, row } = one;
          const before = { event: "row", file, row, kept: [] } as const;
          await desk.record({ event: "withdrawn", entry, reason: "undone by the golfer" }, before);
          desk.draw();
        };
        return element(
          "li",
          {},
          `${date}: ${minutes} min${completed === "yes" ? "" : ", not finished"} `,
          i === 0 ? button("Undo", () => void undo()) : undefined,
        );
      }),
    ),
  );
}
