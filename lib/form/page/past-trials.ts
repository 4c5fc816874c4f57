import { questionsAbout } from "../entry-check.js";
import type { FormRow } from "../form-content.js";
import type { StandingRow } from "../journal.js";
import { typedNumber } from "../typed-number.js";
import type { Desk } from "./desk.js";
import { button, type Child, element, labelled, textField } from "./element.js";

/** The trials of this visit, newest first; each can be corrected, the last one undone. */
export function pastTrials(desk: Desk, done: readonly StandingRow[]): Child {
  if (done.length === 0) return undefined;
  const newest = done.toReversed();
  return element(
    "section",
    { class: "past" },
    element("h2", {}, `Recorded at this visit: ${done.length}`),
    element(
      "ul",
      {},
      newest.map((one, i) =>
        element(
          "li",
          {},
          rowWords(one),
          one.earlier.length > 0
            ? element(
                "span",
                { class: "was" },
                ` (was ${one.earlier.map(({ row }) => valueWords(row)).join(", ")})`,
              )
            : undefined,
          correction(desk, one),
          i === 0 ? button("Undo", () => void undo(desk, one)) : undefined,
        ),
      ),
    ),
  );
}

function rowWords({ row }: StandingRow): string {
  const what =
    row.trial === undefined
      ? `swing ${row.swing}, ${row.club}`
      : `${row.hand} hand, ${row.position}, trial ${row.trial}`;
  return `${what}: ${valueWords(row)}${row.note ? `, ${row.note}` : ""} `;
}

function valueWords(row: FormRow): string {
  const value = row.force ?? row.speed ?? "";
  const status = row.status === "valid" ? "" : ` ${row.status}`;
  return `${value === "" ? "no value" : `${value} ${row.unit}`}${status}`;
}

async function undo(desk: Desk, { entry, file, row }: StandingRow): Promise<void> {
  const reason = "undone at once by the tester";
  await desk.record({ event: "withdrawn", entry, reason }, { event: "row", file, row, kept: [] });
  desk.draw();
}

function correction(desk: Desk, one: StandingRow): Child {
  const { entry, file, row } = one;
  if (file !== "grip-trials" && file !== "swing-trials") return undefined;
  const column = file === "grip-trials" ? "force" : "speed";
  const value = textField({ inputmode: "decimal", maxlength: "16", value: row[column] ?? "" });
  const reason = textField({ maxlength: "120" });
  const alert = element("p", { role: "alert" });
  let asked = "";
  const store = async () => {
    const typed = typedNumber(value.value, row.unit ?? "");
    if (typed.kind === "question") {
      alert.textContent = typed.question;
      return;
    }
    if (reason.value.trim() === "") {
      alert.textContent = "Write why the value is corrected. The old value stays in the journal.";
      return;
    }
    const corrected = { ...row, [column]: typed.text, status: "valid" };
    const questions = questionsAbout(desk.content, {
      file,
      row: corrected,
      before: rowsWithout(desk, one),
    });
    const words = questions.map(({ text }) => text).join(" ");
    if (words !== "" && (asked !== words || questions.some(({ mustChange }) => mustChange))) {
      asked = words;
      alert.textContent = `${words} Press again to keep the new value.`;
      return;
    }
    await desk.record(
      { event: "corrected", entry, row: corrected, reason: reason.value.trim() },
      { event: "row", file, row, kept: [] },
    );
    desk.draw();
  };
  return element(
    "details",
    {},
    element("summary", {}, "Correct"),
    labelled(`New value (${row.unit})`, `correct-${entry}`, value),
    labelled("Why it is corrected", `why-${entry}`, reason),
    alert,
    button("Store the correction", () => void store()),
  );
}

function rowsWithout(desk: Desk, { file, row }: StandingRow) {
  const participant = row.participant ?? "";
  const others = (name: "grip-trials" | "swing-trials") =>
    desk.rowsOf(name, participant).filter((other) => name !== file || other !== row);
  return { "grip-trials": others("grip-trials"), "swing-trials": others("swing-trials") };
}
