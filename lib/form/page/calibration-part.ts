import { standingRows } from "../journal.js";
import { typedNumber } from "../typed-number.js";
import { type Desk, localTime } from "./desk.js";
import { button, type Child, element, labelled, textField } from "./element.js";
import { reasonPanel } from "./question-panel.js";

/** Asks for the day's check of the dynamometer in a study that corrects its readings. */
export function calibrationPart(desk: Desk): Child {
  if (!desk.content.calibrated) return undefined;
  const date = localTime(new Date()).slice(0, 10);
  const checks = standingRows(desk.journal).filter(
    ({ file, row }) => file === "calibration" && row.date === date,
  );
  const skipped = desk.journal.some(
    ({ what }) => what.event === "calibration-skipped" && what.date === date,
  );
  if (skipped) return undefined;
  return element(
    "details",
    { "data-part": "calibration" },
    element(
      "summary",
      {},
      checks.length === 0
        ? "The dynamometer has no calibration check of today"
        : `Calibration of today: ${checks.length} loads`,
    ),
    checkFields(desk, date),
    checks.length === 0
      ? reasonPanel("No check today?", "Go on without a check", (reason) => {
          void desk.record({ event: "calibration-skipped", date, reason }).then(() => desk.draw());
        })
      : undefined,
  );
}

function checkFields(desk: Desk, date: string): Child {
  const unit = desk.unit("force");
  const load = textField({ inputmode: "decimal" });
  const reading = textField({ inputmode: "decimal" });
  const alert = element("p", { role: "alert" });
  const store = async () => {
    const [known, shown] = [typedNumber(load.value, unit), typedNumber(reading.value, unit)];
    if (known.kind === "question" || shown.kind === "question") {
      alert.textContent =
        known.kind === "question"
          ? known.question
          : shown.kind === "question"
            ? shown.question
            : "";
      return;
    }
    const device = desk.setting.dynamometer ?? "";
    if (device === "") {
      alert.textContent = "Write the code of the dynamometer on the first screen.";
      return;
    }
    const row = { date, device, known_load: known.text, reading: shown.text, unit, note: "" };
    await desk.record({ event: "row", file: "calibration", row, kept: [] });
    desk.draw();
  };
  return [
    labelled(`Known load (${unit})`, "known-load", load),
    labelled(`Reading (${unit})`, "reading", reading),
    alert,
    button("Store the check", () => void store()),
  ];
}
