import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { type LessonQuestion, lessonQuestions } from "../../lib/learn/lesson-questions.js";
import { lessonTexts } from "../../lib/learn/words/languages.js";

const folder = fileURLToPath(new URL("../../notebooks/learn", import.meta.url));

interface Cell {
  readonly cell_type: string;
  readonly id: string;
  readonly source: string | string[];
  readonly metadata: { readonly tags?: string[] };
  readonly outputs?: { readonly data?: Record<string, unknown> }[];
}

interface Lesson {
  readonly name: string;
  readonly cells: readonly Cell[];
  readonly about: { readonly number: number; readonly minutes: number };
}

const lessons = readdirSync(folder).map((name): Lesson => {
  const { cells, metadata } = JSON.parse(readFileSync(join(folder, name), "utf8"));
  return { name: name.replace(/\.ipynb$/, ""), cells, about: metadata.tautline.lesson };
});

/** Reading speed of a text with numbers in it, words a minute: common practice, no source. */
const wordsPerMinute = 180;
/** Time for each kind of task beside its words, minutes: common practice, no source. */
const minutesFor = { choose: 0.5, play: 1.5, exercise: 3 };

const textOf = (source: string | string[]) => (Array.isArray(source) ? source.join("") : source);
const counted = (text: string) =>
  text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length;

function made<T>({ cells }: Lesson, kind: string): T[] {
  return cells.flatMap(({ outputs = [], metadata }) =>
    metadata.tags?.includes("worked")
      ? []
      : outputs.flatMap(
          ({ data = {} }) => (data[`application/vnd.tautline.${kind}+json`] ?? []) as T,
        ),
  );
}

/** What a student reads: text, questions with one reply each, prompts, definitions, results. */
function wordsIn(lesson: Lesson): number {
  const prose = lesson.cells.filter(({ cell_type }) => cell_type === "markdown");
  const questions = made<{ asks: string; options: { says: string; reply: string }[] }>(
    lesson,
    "question",
  );
  const texts = [
    ...prose.map(({ source }) => textOf(source)),
    ...questions.flatMap(({ asks, options }) => [
      asks,
      ...options.map(({ says }) => says),
      options[0]!.reply,
    ]),
    ...made<{ prompt: string }>(lesson, "exercise").map(({ prompt }) => prompt),
    ...made<{ terms: { term: string; says: string }[] }>(lesson, "terms").flatMap(({ terms }) =>
      terms.map(({ term, says }) => `${term} ${says}`),
    ),
    ...made<{ sentence: string }>(lesson, "finding").map(({ sentence }) => sentence),
    ...made<{ sentence: string; caption: string }>(lesson, "simulation").map(
      ({ sentence, caption }) => `${sentence} ${caption}`,
    ),
  ];
  return counted(texts.join(" "));
}

function minutesOf(lesson: Lesson): number {
  const questions = made<{ plays?: string }>(lesson, "question");
  const plays = questions.filter(({ plays }) => plays !== undefined).length;
  const exercises = made(lesson, "exercise").length;
  const tasks =
    (questions.length - plays) * minutesFor.choose +
    plays * minutesFor.play +
    exercises * minutesFor.exercise;
  return wordsIn(lesson) / wordsPerMinute + tasks;
}

describe("a lesson's time, by its words and tasks", () => {
  it.each(lessons.filter(({ about }) => about.number <= 5))(
    "$name takes 15 to 25 minutes",
    (lesson) => {
      const minutes = minutesOf(lesson);
      expect(minutes).toBeGreaterThanOrEqual(15);
      expect(minutes).toBeLessThanOrEqual(25);
      expect(Math.abs(minutes - lesson.about.minutes), `${minutes}`).toBeLessThanOrEqual(1.5);
    },
  );

  it("the page of physics takes about half of that", () => {
    const physics = lessons.find(({ about }) => about.number === 6)!;
    const minutes = minutesOf(physics);
    expect(Math.abs(minutes - physics.about.minutes), `${minutes}`).toBeLessThanOrEqual(1.5);
    expect(minutes).toBeLessThanOrEqual(15);
  });
});

describe("the words of a lesson", () => {
  const { cells, questions } = lessonTexts("en");

  it.each(lessons)("$name has the text of the file of words in its cells", (lesson) => {
    const prose = lesson.cells.filter(({ cell_type }) => cell_type === "markdown");
    const written = Object.fromEntries(prose.map(({ id, source }) => [id, textOf(source)]));
    expect(written).toEqual(cells[lesson.name]);
  });

  it.each(lessons)("$name asks every question that the lessons have for it", (lesson) => {
    const wanted = Object.entries<LessonQuestion>(lessonQuestions)
      .filter(([, { lesson: number }]) => number === lesson.about.number)
      .map(([id]) => id);
    expect(made<{ id: string }>(lesson, "question").map(({ id }) => id)).toEqual(wanted);
  });

  it.each(["de", "es"] as const)("are there for lesson 1 in %s, with the same numbers", (code) => {
    const other = lessonTexts(code);
    const numbers = (text: string) =>
      (text.match(/\d+(?:[.,]\d+)?/g) ?? []).map((one) => one.replace(",", ".")).sort();
    const first = Object.entries(lessonQuestions).filter(([, { lesson }]) => lesson === 1);
    for (const id of first.map(([id]) => id) as (keyof typeof questions)[]) {
      const [here, there] = [questions[id], other.questions[id]];
      expect(there.asks, id).not.toBe(here.asks);
      expect(numbers(there.asks), id).toEqual(numbers(here.asks));
      expect(there.options.length, id).toBe(here.options.length);
      for (const [i, { says, reply }] of here.options.entries()) {
        expect(there.options[i]!.reply, id).not.toBe(reply);
        const text = `${there.options[i]!.says} ${there.options[i]!.reply}`;
        expect(numbers(text), id).toEqual(numbers(`${says} ${reply}`));
      }
    }
    const [english, translated] = [cells["1-one-squeeze"]!, other.cells["1-one-squeeze"]!];
    expect(Object.keys(translated)).toEqual(Object.keys(english));
    for (const [id, text] of Object.entries(english)) {
      expect(translated[id], id).not.toBe(text);
      expect(numbers(translated[id]!), id).toEqual(numbers(text));
    }
    expect(other.captions["one-squeeze"]).not.toBe(lessonTexts("en").captions["one-squeeze"]);
  });

  it("reply to every choice, and call one answer of each question right", () => {
    for (const [id, { options }] of Object.entries(questions)) {
      expect(options.length, id).toBeGreaterThanOrEqual(2);
      const right = options.filter(({ reply }) => /^(?:Right|Half right)/.test(reply));
      expect(right.length, id).toBeGreaterThanOrEqual(1);
      for (const { reply } of options) expect(reply, id).toMatch(/[.]$/);
    }
  });
});
