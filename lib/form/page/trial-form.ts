import { stopRule } from "../../study/plan/sheets-words.js";
import { isRising, questionsAbout } from "../entry-check.js";
import type { FormRow } from "../form-content.js";
import { standingRows } from "../journal.js";
import { extraTask, restLeft, type TestTask } from "../test-steps.js";
import { typedNumber } from "../typed-number.js";
import { type Desk, localTime, type Visit } from "./desk.js";
import { button, type Child, element, labelled, textField } from "./element.js";
import { questionPanel, reasonPanel } from "./question-panel.js";
import { restTimer } from "./rest-timer.js";
import { StatusChoice } from "./status-choice.js";
import { filesPart } from "./summary-screen.js";
import { unitChange } from "./unit-change.js";

/** The fields of one trial and what happens when it is stored. */
export class TrialForm {
  private readonly field = textField({
    inputmode: "decimal",
    maxlength: "16",
    class: "value",
    "aria-describedby": "unit",
  });
  private readonly note = textField({ maxlength: "200" });
  private readonly handle = textField({ inputmode: "decimal", maxlength: "8" });
  private readonly panel = element("div", { class: "panel", "aria-live": "assertive" });
  private readonly status = new StatusChoice();
  private kept: string[] = [];
  private isStoring = false;

  constructor(
    private readonly desk: Desk,
    private readonly visit: Visit,
    private readonly task: TestTask,
    /** What follows: one more trial of the same kind, or the next of the plan. */
    private readonly follow: (task?: TestTask) => void,
  ) {}

  parts(): Child {
    const { desk, task, visit } = this;
    this.field.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      // Else the same key press would also answer the question that now has the focus.
      event.preventDefault();
      if (!event.repeat) void this.store();
    });
    this.handle.value = this.lastHandle();
    const isGrip = task.file === "grip-trials";
    queueMicrotask(() => this.field.focus());
    return element(
      "section",
      { class: "trial", "data-part": "trial" },
      element("p", { class: "who" }, `${visit.participant} · ${this.visitTitle()}`),
      element("h1", {}, task.title),
      element("p", { class: "count" }, task.count),
      task.how ? element("p", { class: "how" }, task.how) : undefined,
      isGrip ? restTimer(() => this.restSeconds()) : undefined,
      element(
        "div",
        { class: "reading" },
        labelled(
          isGrip ? "Force that the device shows" : "Speed that the device shows",
          "value",
          this.field,
        ),
        element("p", { class: "unit", id: "unit" }, this.unit()),
      ),
      this.status.buttons,
      this.panel,
      button("Store", () => void this.store(), "main"),
      element(
        "details",
        {},
        element("summary", {}, isGrip ? "Handle setting, note, unit" : "Note, unit"),
        isGrip ? labelled("Handle setting (mm)", "handle", this.handle) : undefined,
        labelled("Note (no names, nothing that tells who it is)", "note", this.note),
        unitChange(desk, isGrip ? "force" : "speed"),
      ),
    );
  }

  private visitTitle(): string {
    const { occasions } = this.desk.content.design;
    return occasions.find(({ id }) => id === this.visit.occasion)?.title ?? this.visit.occasion;
  }

  private unit(): string {
    return this.desk.unit(this.task.file === "grip-trials" ? "force" : "speed");
  }

  /** The setting of the handle stays with a golfer and a hand. */
  private lastHandle(): string {
    const rows = this.desk.rowsOf("grip-trials", this.visit.participant);
    return rows.findLast((row) => row.hand === this.task.row.hand)?.handle_mm ?? "";
  }

  private restSeconds(): number {
    const done = standingRows(this.desk.journal).filter(
      ({ row }) => row.participant === this.visit.participant,
    );
    const { restSeconds = 0 } = this.desk.content.design;
    return restLeft(this.task, done, { now: localTime(new Date()), restSeconds });
  }

  private ask(...parts: Node[]): void {
    this.panel.replaceChildren(...parts);
    this.panel.querySelector<HTMLElement>("button, input")?.focus();
  }

  private typeAgain = () => {
    this.panel.replaceChildren();
    this.kept = [];
    this.field.select();
    this.field.focus();
  };

  private async store(): Promise<void> {
    if (this.isStoring) return;
    const text = this.valueText();
    if (text === undefined) return;
    if (this.desk.isRecorded(this.task.file, this.task.row)) return;
    const left = this.status.chosen === "valid" ? this.restSeconds() : 0;
    if (left > 0 && !this.kept.includes("rest")) {
      this.askAboutRest(left);
      return;
    }
    const row = this.row(text);
    if (this.askAbout(row)) return;
    this.isStoring = true;
    const kept = this.kept.filter((one) => one !== "rest");
    const stored = await this.desk.record({ event: "row", file: this.task.file, row, kept });
    this.isStoring = false;
    if (!stored) {
      if (!this.desk.isRecorded(this.task.file, this.task.row)) this.tellNotStored();
      return;
    }
    this.follow();
    this.next(row);
  }

  /** What was typed stays in the field, and the files are at hand, until it can be stored. */
  private tellNotStored(): void {
    const again = () => {
      this.panel.replaceChildren();
      void this.store();
    };
    const question = questionPanel(this.desk.message, [["Store again", again]]);
    this.ask(...question, filesPart(this.desk));
  }

  /** The value as text; undefined when it must be typed again, with the question shown. */
  private valueText(): string | undefined {
    if (this.status.chosen !== "valid") {
      if (this.field.value.trim() === "") return "";
      const question =
        "A trial that does not count has no value: the field is emptied, and what the device showed goes into the note.";
      this.ask(
        ...questionPanel(question, [
          [
            "Move the value to the note",
            () => {
              this.note.value =
                `${this.note.value} device showed ${this.field.value.trim()}`.trim();
              this.field.value = "";
              this.panel.replaceChildren();
              void this.store();
            },
          ],
          [
            "The trial is valid",
            () => {
              this.status.choose("valid");
              this.typeAgain();
            },
          ],
        ]),
      );
      return undefined;
    }
    const typed = typedNumber(this.field.value, this.unit());
    if (typed.kind === "value") return typed.text;
    const { proposal } = typed;
    const yes: [string, () => void][] =
      proposal === undefined
        ? []
        : [
            [
              `Yes, ${proposal} ${this.unit()}`,
              () => {
                this.field.value = proposal;
                this.panel.replaceChildren();
                void this.store();
              },
            ],
          ];
    this.ask(...questionPanel(typed.question, [...yes, ["Type again", this.typeAgain]]));
    return undefined;
  }

  private askAboutRest(left: number): void {
    const { restSeconds = 0 } = this.desk.content.design;
    const question = `This hand has ${left} s of its ${restSeconds} s of rest left. Was the trial done already? Say why the rest was shorter, or wait.`;
    this.ask(
      ...reasonPanel(question, "Store with this reason", (reason) => {
        void this.desk
          .record({ event: "rest-cut", ...this.visit, seconds: left, reason })
          .then((stored) => {
            if (!stored) return this.desk.draw();
            this.kept.push("rest");
            this.panel.replaceChildren();
            return void this.store();
          });
      }),
    );
  }

  private row(text: string): FormRow {
    const [date = "", clock = ""] = localTime(new Date()).split("T");
    const isGrip = this.task.file === "grip-trials";
    return {
      ...this.task.row,
      date,
      time: clock.slice(0, 8),
      device: (isGrip ? this.desk.setting.dynamometer : this.desk.setting["speed device"]) ?? "",
      ...(isGrip && { handle_mm: this.handle.value.trim() }),
      [isGrip ? "force" : "speed"]: text,
      unit: this.unit(),
      status: this.status.chosen,
      note: this.note.value.trim(),
    };
  }

  /** Asks about a row by the rules of the study's check. @returns true while a question is open */
  private askAbout(row: FormRow): boolean {
    const before = {
      "grip-trials": this.desk.rowsOf("grip-trials", this.visit.participant),
      "swing-trials": this.desk.rowsOf("swing-trials", this.visit.participant),
    };
    const questions = questionsAbout(this.desk.content, { file: this.task.file, row, before });
    const open = questions.filter(({ text }) => !this.kept.includes(text));
    const [first] = open;
    if (!first) return false;
    const keep: [string, () => void] = [
      "Keep the value as typed",
      () => {
        this.kept.push(...open.map(({ text }) => text));
        this.panel.replaceChildren();
        void this.store();
      },
    ];
    const again: [string, () => void] = ["Type again", this.typeAgain];
    const words = open.map(({ text }) => text).join(" ");
    this.ask(
      ...questionPanel(words, open.some(({ mustChange }) => mustChange) ? [again] : [again, keep]),
    );
    return true;
  }

  private next(row: FormRow): void {
    const { desk, task, visit } = this;
    if (row.status === "pain-stop") desk.message = `Stored. ${stopRule}`;
    const rows = desk.rowsOf("grip-trials", visit.participant);
    const planned = desk.content.design.gripTrials;
    if (task.file !== "grip-trials" || !isRising(task, rows, { planned })) {
      desk.draw();
      return;
    }
    const question = `${task.title}: the last trial is the highest. Strength may still be rising. One more trial?`;
    this.ask(
      ...questionPanel(question, [
        [
          "One more trial",
          () => {
            this.follow(extraTask(task, standingRows(desk.journal)));
            desk.draw();
          },
        ],
        ["No, go on", () => desk.draw()],
      ]),
    );
  }
}
