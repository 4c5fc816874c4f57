import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { lessonQuestions, type QuestionId } from "../../lib/learn/lesson-questions.js";
import { lessonTexts } from "../../lib/learn/words/languages.js";

interface StatedNumbers {
  readonly question: QuestionId;
  /** The words of the question, or of a reply, that state the numbers. */
  readonly says: string;
  readonly values: readonly {
    readonly stated: number;
    readonly computed: number;
    readonly within: number;
  }[];
}

const { numbers } = JSON.parse(
  readFileSync(new URL("../reference/lesson-numbers.json", import.meta.url), "utf8"),
) as { numbers: readonly StatedNumbers[] };
const { questions } = lessonTexts("en");

const wordsOf = (id: QuestionId) => {
  const { asks, options } = questions[id];
  return [asks, ...options.flatMap(({ says, reply }) => [says, reply])].join(" ");
};

describe("numbers that replies state of the simulations, against numbers computed apart", () => {
  it.each(numbers)("$question: $says", ({ question, says, values }) => {
    expect(wordsOf(question)).toContain(says);
    for (const { stated, computed, within } of values) {
      expect(Math.abs(stated - computed)).toBeLessThanOrEqual(within);
      // a number that is further off by what the reader would notice is not within
      expect(Math.abs(stated + 3 * within - computed)).toBeGreaterThan(within);
    }
  });

  it("are checked for every task with a number that chance decides", () => {
    const checked = new Set(numbers.map(({ question }) => question));
    const stating = (Object.keys(lessonQuestions) as QuestionId[]).filter((id) =>
      /about [−±]? ?\d|\d+ of 200|\d or \d/.test(wordsOf(id)),
    );
    // Openings speak of their own picture, or do arithmetic; 5 of 100 is the definition of the limit
    // (models.test.ts); the predicted slope is that of line-play-3, and 3 kgf is 2 + 1 kgf.
    const openings = ["line-open", "resampling-open", "physics-open"];
    const others = [...openings, "squeeze-play-1", "line-predict", "before-after-predict"];
    expect(stating.filter((id) => !checked.has(id) && !others.includes(id))).toEqual([]);
  });
});
