import { percentLevel } from "../show/wording.js";
import { type DraftTable, type Inline, words } from "./draft.js";
import { bareProbability } from "./number-tag.js";
import { methodWords, QuotedResult } from "./result-words.js";
import type { ManuscriptFacts, QuestionFacts, ResultFacts } from "./study-facts.js";

/** Findings beside one another in journal style; the methods stand below. */
export function resultsTable(
  { study }: ManuscriptFacts,
  question: QuestionFacts,
  results: QuestionFacts["results"],
  number: number,
): DraftTable {
  const hasP = results.some((result) => result.p !== undefined || isTest(result));
  const methods = [...new Set(results.map(({ method }) => method))];
  const mark = (method: string) => String.fromCodePoint(97 + (methods.indexOf(method) % 26));
  const caption = `${question.title.replace(/[?.]$/, "")}: findings that were not planned.`;
  return {
    kind: "table",
    number,
    caption: words`${caption}`,
    head: [
      ...["Finding", "Estimate", `${percentLevel(study.plan.level)} CI`],
      ...(hasP ? ["p"] : []),
      "n",
    ],
    rows: results.map((result) => {
      const quoted = new QuotedResult(study.name, question, result);
      const title = words`${result.title.replace(/[:.]\s*$/, "")} (${mark(result.method)})`;
      const limits = quoted.limits();
      return [
        title,
        isTest(result) ? words`–` : quoted.value(),
        limits.length > 0 ? limits : words`–`,
        ...(hasP ? [probability(quoted)] : []),
        quoted.count(),
      ];
    }),
    notes: words`CI, confidence interval; –, not applicable. Methods: ${methods.flatMap((method, i) => words`${i === 0 ? "" : "; "}(${mark(method)}) ${methodWords(method)}`)}.`,
    widths: hasP ? [42, 16, 17, 11, 14] : [48, 18, 19, 15],
  };
}

/** The value of a test is its p value. */
function isTest({ quantity }: ResultFacts): boolean {
  return quantity === "test";
}

/** "0.014" or "< 0.001": the head of the column says that it is p. */
function probability(quoted: QuotedResult): Inline[] {
  const [piece] = quoted.part(isTest(quoted.result) ? "value" : "p");
  if (piece?.kind !== "number") return words`–`;
  const { number } = piece;
  return [{ kind: "number", number: { ...number, text: bareProbability(number.text) } }];
}
