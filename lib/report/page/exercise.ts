import { itemAt, present } from "../../entry.js";
import type { AnswerVerdict } from "../../learn/answer.js";
import type { Work } from "../../learn/hand-in.js";
import type { Language } from "../../learn/words/language.js";
import { markup } from "../../markup.js";
import type { PracticeSet } from "../../show/lesson-outputs.js";
import { practiceMarkup } from "../../show/practice-table.js";
import { stepHtml, type WorkedStep } from "../../show/worked-steps.js";
import { remember, remembered, rememberedRecord } from "./browser-memory.js";
import type { Desk } from "./lesson-desk.js";
import { offerProgress } from "./lesson-progress.js";
import { offerNumbers } from "./practice-numbers.js";

const key = "tautline-student";

/** What a student did with one exercise of the page. */
interface Tried {
  answer: string;
  right: boolean;
  readonly wrong: string[];
  /** Whether a cell of a notebook made the exercise: the teacher's list does not know it. */
  readonly own?: boolean;
}

/** The code that the page's exercises are about, and what was answered; it stays in the browser. */
class Pupil {
  code: string;
  readonly language: Language;
  private done = new Map<string, Tried>();
  /** When the minutes were last noted, ms. */
  private noted = performance.now();
  /** Minutes so far, where the browser remembers nothing. */
  private spent = 0;

  constructor(code: string, language: Language) {
    this.code = code;
    this.language = language;
  }

  /** Is told when answers are added or exchanged. */
  changed = () => {};

  become(code: string): void {
    if (code !== this.code) {
      this.minutes();
      this.spent = 0;
    }
    this.code = code;
    this.done = new Map(Object.entries(rememberedRecord<Tried>(workKey(code))));
    this.changed();
  }

  /** Wrong answers before this one, each counted once. */
  wrongBefore(exercise: string, answer: string): number {
    const wrong = this.done.get(exercise)?.wrong ?? [];
    return wrong.length - (wrong.includes(answer) ? 1 : 0);
  }

  note(exercise: string, answer: string, verdict: AnswerVerdict, own: boolean): void {
    if (verdict !== "right" && verdict !== "wrong") return;
    const { wrong } = this.done.get(exercise) ?? { wrong: [] as string[] };
    if (verdict === "wrong" && !wrong.includes(answer)) wrong.push(answer);
    this.done.set(exercise, { answer, right: verdict === "right", wrong, ...(own && { own }) });
    remember(workKey(this.code), JSON.stringify(Object.fromEntries(this.done)));
    this.changed();
  }

  /** Exercises that were answered right. */
  right(): ReadonlySet<string> {
    return new Set([...this.done].flatMap(([id, { right }]) => (right ? [id] : [])));
  }

  tried(exercise: string): Tried | undefined {
    return this.done.get(exercise);
  }

  /** Everything that was answered with this code, in this page and in others of the report. */
  work(): Work[] {
    return [...this.done].flatMap(([exercise, { answer, wrong, own }]) =>
      own ? [] : [{ exercise, answer, tries: wrong.length, wrong }],
    );
  }

  /** Minutes with this code, in all pages of the report; those since the last note are added. */
  minutes(): number {
    const now = performance.now();
    const before = Number(remembered(minutesKey(this.code)) ?? this.spent);
    const total = (Number.isFinite(before) ? before : 0) + (now - this.noted) / 60_000;
    this.noted = now;
    this.spent = total;
    remember(minutesKey(this.code), total.toFixed(2));
    return total;
  }
}

const workKey = (code: string) => `tautline-work ${code}`;
const minutesKey = (code: string) => `tautline-minutes ${code}`;

function statusOf(form: HTMLElement): HTMLElement {
  return present(form.querySelector("[role=status]"));
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** Fills the tables of golfers for a code; the page keeps its own where the code is refused. */
async function useCode(desk: Desk, pupil: Pupil, code: string): Promise<void> {
  for (const place of document.querySelectorAll<HTMLElement>(".practice")) {
    const set = place.dataset.set as PracticeSet;
    const golfers = await desk({ ask: "practice", set, code });
    place.innerHTML = String(practiceMarkup(golfers));
    place.dataset.learner = golfers.learner;
    pupil.become(golfers.learner);
  }
  for (const section of document.querySelectorAll<HTMLElement>(".exercise")) {
    const tried = pupil.tried(present(section.dataset.exercise));
    present(section.querySelector<HTMLInputElement>("[name=answer]")).value = tried?.answer ?? "";
    section.querySelector(".steps")?.remove();
    const status = statusOf(section);
    status.className = tried?.right ? "right" : "";
    status.textContent = tried?.right ? "Right, answered before." : "";
  }
}

function offerCode(desk: Desk, pupil: Pupil): void {
  const forms = [...document.querySelectorAll<HTMLFormElement>("form.student")];
  const fields = forms.map((form) => present(form.querySelector("input")));
  const tell = (words: string) => {
    for (const form of forms) statusOf(form).textContent = words;
  };
  const use = async (code: string) => {
    if (code.trim() === "") {
      tell("Write a code first, such as a nickname. It is no name and no password.");
      return;
    }
    try {
      await useCode(desk, pupil, code);
      remember(key, pupil.code);
      for (const field of fields) field.value = pupil.code;
      tell(`The exercises are about the golfers of “${pupil.code}” now.`);
    } catch (error) {
      tell(messageOf(error));
    }
  };
  forms.forEach((form, i) => {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void use(itemAt(fields, i).value);
    });
  });
  const earlier = remembered(key);
  if (forms.length > 0 && earlier && earlier !== pupil.code) void use(earlier);
}

async function check(desk: Desk, pupil: Pupil, section: HTMLElement): Promise<void> {
  const exercise = present(section.dataset.exercise);
  const answer = present(section.querySelector<HTMLInputElement>("[name=answer]")).value.trim();
  const status = statusOf(section);
  const wrongBefore = pupil.wrongBefore(exercise, answer);
  const { code, language } = pupil;
  const { notebook } = section.dataset;
  const fromNotebook = notebook === undefined ? {} : { notebook };
  if (notebook !== undefined) status.textContent = "Working out the solution …";
  try {
    const asked = { exercise, code, answer, wrongBefore, language, ...fromNotebook };
    const reply = await desk({ ask: "check", ...asked });
    pupil.note(exercise, answer, reply.verdict, notebook !== undefined);
    status.className = reply.verdict === "right" ? "right" : "";
    status.textContent = reply.says;
    showSteps(section, reply.heading, reply.steps ?? []);
  } catch (error) {
    status.textContent = messageOf(error);
  }
}

/** The worked solution below the answer, folded. */
function showSteps(section: HTMLElement, heading: string, steps: readonly WorkedStep[]): void {
  section.querySelector(".steps")?.remove();
  if (steps.length === 0) return;
  const fold = document.createElement("details");
  fold.className = "steps";
  const summary = document.createElement("summary");
  summary.textContent = heading;
  const list = document.createElement("ol");
  list.innerHTML = String(markup`${steps.map(stepHtml)}`);
  fold.append(summary, list);
  section.append(fold);
}

/** Offers the student's answers as a file for the teacher. */
function offerHandIn(desk: Desk, pupil: Pupil): void {
  for (const place of document.querySelectorAll<HTMLElement>(".hand-in")) {
    const status = statusOf(place);
    present(place.querySelector("button")).addEventListener("click", async () => {
      const { code } = pupil;
      if (pupil.work().length === 0) {
        status.textContent = "There is no answer yet.";
        return;
      }
      try {
        const work = { code, minutes: pupil.minutes(), work: pupil.work() };
        const text = await desk({ ask: "hand-in", work });
        const link = document.createElement("a");
        link.href = URL.createObjectURL(new Blob([text], { type: "text/plain" }));
        link.download = `exercises-${code.replace(/[^\p{L}\p{N}]+/gu, "-")}.txt`;
        link.click();
        status.textContent = "The file is in your downloads. Send it to your teacher.";
      } catch (error) {
        status.textContent = messageOf(error);
      }
    });
  }
}

/** Makes the exercises of the page check themselves, on the golfers of the reader's code. */
export function offerExercises(desk: Desk): void {
  const [first] = document.querySelectorAll<HTMLElement>("form.student");
  const { code = "class", language = "en" } = first?.dataset ?? {};
  const pupil = new Pupil(code, language as Language);
  pupil.become(first ? code : (remembered(key) ?? code));
  addEventListener("pagehide", () => pupil.minutes());
  pupil.changed = offerProgress(() => pupil.right());
  offerCode(desk, pupil);
  offerHandIn(desk, pupil);
  offerNumbers(desk, () => pupil.code);
  for (const section of document.querySelectorAll<HTMLElement>(".exercise[data-exercise]")) {
    const form = section.querySelector("form");
    form?.addEventListener("submit", (event) => {
      event.preventDefault();
      void check(desk, pupil, section);
    });
  }
}
