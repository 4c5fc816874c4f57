import { itemAt, present } from "../../entry.js";
import type { PracticeSet } from "../../show/lesson-outputs.js";
import { tableHtml } from "../../show/table.js";
import type { Desk } from "./lesson-desk.js";

const key = "tautline-student";

function kept(): string | undefined {
  try {
    return localStorage.getItem(key) ?? undefined;
  } catch {
    return undefined; // storage is closed for files in some browsers
  }
}

function keep(code: string): void {
  try {
    localStorage.setItem(key, code);
  } catch {
    // the code lasts for this page then
  }
}

/** The code that the page's exercises are about, and the wrong answers given so far. */
class Pupil {
  code: string;
  private readonly wrong = new Map<string, Set<string>>();

  constructor(code: string) {
    this.code = code;
  }

  become(code: string): void {
    this.code = code;
    this.wrong.clear();
  }

  /** Wrong answers before this one, each counted once. */
  wrongBefore(exercise: string, answer: string): number {
    const given = this.wrong.get(exercise);
    return given ? given.size - (given.has(answer) ? 1 : 0) : 0;
  }

  note(exercise: string, answer: string): void {
    this.wrong.set(exercise, (this.wrong.get(exercise) ?? new Set<string>()).add(answer));
  }
}

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
    const { caption, table, learner } = await desk({ ask: "practice", set, code });
    place.innerHTML = String(
      tableHtml({ kind: "table", id: `practice-${set}`, caption, ...table }),
    );
    place.dataset.learner = learner;
    pupil.become(learner);
  }
  for (const status of document.querySelectorAll(".exercise [role=status]")) {
    status.textContent = "";
    status.className = "";
  }
}

function offerCode(desk: Desk, pupil: Pupil): void {
  const forms = [...document.querySelectorAll<HTMLFormElement>("form.student")];
  const fields = forms.map((form) => present(form.querySelector("input")));
  const tell = (words: string) => {
    for (const form of forms) statusOf(form).textContent = words;
  };
  const use = async (code: string) => {
    try {
      await useCode(desk, pupil, code);
      keep(pupil.code);
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
  const earlier = kept();
  if (forms.length > 0 && earlier && earlier !== pupil.code) void use(earlier);
}

async function check(desk: Desk, pupil: Pupil, section: HTMLElement): Promise<void> {
  const exercise = present(section.dataset.exercise);
  const answer = present(section.querySelector<HTMLInputElement>("[name=answer]")).value.trim();
  const status = statusOf(section);
  const wrongBefore = pupil.wrongBefore(exercise, answer);
  try {
    const { verdict, text } = await desk({
      ask: "check",
      exercise,
      code: pupil.code,
      answer,
      wrongBefore,
    });
    if (verdict === "wrong") pupil.note(exercise, answer);
    status.className = verdict === "right" ? "right" : "";
    status.textContent = text;
  } catch (error) {
    status.textContent = messageOf(error);
  }
}

/** Makes the exercises of the page check themselves, on the golfers of the reader's code. */
export function offerExercises(desk: Desk): void {
  const [first] = document.querySelectorAll<HTMLElement>("form.student");
  const pupil = new Pupil(first?.dataset.code ?? "class");
  offerCode(desk, pupil);
  for (const section of document.querySelectorAll<HTMLElement>(".exercise")) {
    present(section.querySelector("form")).addEventListener("submit", (event) => {
      event.preventDefault();
      void check(desk, pupil, section);
    });
  }
}
