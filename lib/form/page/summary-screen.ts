import { countedEntries, exportedFiles, missingWords } from "../form-export.js";
import { standingRows } from "../journal.js";
import type { Desk, Visit } from "./desk.js";
import { button, type Child, element, labelled, textField } from "./element.js";

/** The end of a visit: what was recorded, what is missing, and the files. */
export function summaryScreen(desk: Desk, visit: Visit): Child {
  const done = standingRows(desk.journal).filter(
    ({ row }) => row.participant === visit.participant && row.occasion === visit.occasion,
  );
  const count = (file: string) => done.filter((one) => one.file === file).length;
  const [squeezes, swings] = [count("grip-trials"), count("swing-trials")];
  const invalid = done.filter(({ row }) => row.status !== "valid").length;
  const missing = missingWords(desk.content, { squeezes, swings });
  const note = textField({ maxlength: "200" });
  const close = async () => {
    const closed = { event: "visit-closed", ...visit, note: note.value.trim() } as const;
    if (await desk.record(closed)) desk.go("start");
    else desk.draw();
  };
  return [
    element("h1", {}, `${visit.participant}: end of the visit`),
    element(
      "p",
      {},
      `Recorded: ${squeezes} squeezes and ${swings} swings; ${invalid} of them do not count.`,
    ),
    missing.length > 0
      ? element(
          "ul",
          { class: "caution" },
          missing.map((text) => element("li", {}, text)),
        )
      : element("p", {}, "Nothing is missing."),
    element("p", {}, "Ask about pain now. Write down anything unusual, without names."),
    labelled("Note about the visit", "visit-note", note),
    button("Close the visit, next golfer", () => void close(), "main"),
    missing.length > 0 ? button("Go on with the trials", () => desk.go("trials")) : undefined,
    filesPart(desk),
  ];
}

/** The files to download: rows for the study, and the journal. */
export function filesPart(desk: Desk): HTMLElement {
  const files = exportedFiles(desk.content, desk.journal, desk.device);
  return element(
    "section",
    { "data-part": "files" },
    element("h2", {}, "Files"),
    element(
      "p",
      {},
      "Rows for the study, and the journal of every entry and correction. Keep both. Nothing is sent anywhere.",
    ),
    element(
      "ul",
      {},
      files.map(({ name, type, text, rows }) => {
        const href = URL.createObjectURL(new Blob([text], { type }));
        const label = `Download ${name} (${countedEntries(rows, type === "text/csv" ? "row" : "entry")})`;
        return element("li", {}, element("a", { href, download: name }, label));
      }),
    ),
  );
}

/** What is stored where, and how it is removed. */
export function storageScreen(desk: Desk): Child {
  const word = "remove";
  const field = textField({ maxlength: "12" });
  const alert = element("p", { role: "alert" });
  const wipe = async () => {
    if (field.value.trim().toLowerCase() !== word) {
      alert.textContent = `Type the word ${word} to confirm.`;
      return;
    }
    await desk.store.wipe();
    await desk.refresh();
    desk.go(desk.content.purpose === "diary" ? "diary" : "start");
  };
  return [
    element("h1", {}, "What is stored, and where"),
    element(
      "p",
      {},
      `This form keeps ${countedEntries(desk.journal.length, "entry")} in this browser on this device, under the study's name and the code ${desk.device}: codes, dates, trials, answers to the screening and notes. It sends nothing and loads nothing. Other files opened by the same browser from this device may be able to read it, so use a device of the laboratory.`,
    ),
    filesPart(desk),
    element("h2", {}, "Remove everything from this device"),
    element("p", { class: "caution" }, "Download the files first. Removing cannot be undone."),
    labelled(`Type ${word} to confirm`, "confirm", field),
    alert,
    button("Remove all entries", () => void wipe()),
    button("Back", () => desk.go(desk.content.purpose === "diary" ? "diary" : "start")),
  ];
}
