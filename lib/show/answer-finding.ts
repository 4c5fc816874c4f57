import type { Answer } from "../analysis/study-answer.js";
import { answerTitle } from "./answer-words.js";
import type { Finding, RecordedFinding, UnansweredFinding } from "./finding-record.js";
import { refuse } from "./record.js";

/** An answer, or a refusal that says what was given instead. */
export function anAnswer(given: unknown, where: string): Answer {
  if (given !== null && typeof given === "object" && "quantity" in given && "parts" in given) {
    return given as Answer;
  }
  return refuse("the answer to a question, such as compareArms(change)", given, where);
}

/** The answer with one number in it, or with the reason why there is none. */
export function singleOf(given: unknown, where: string): Answer {
  const singles = singlesOf(anAnswer(given, where));
  const [only] = singles;
  if (singles.length === 1 && only) return only;
  return refuse("one answer (findings shows several)", `${singles.length} answers`, where);
}

/** The answers with one number of which an answer consists. */
export function singlesOf(given: Answer): readonly Answer[] {
  return given.parts.length === 0 ? [given] : given.parts.flatMap(singlesOf);
}

/** One id per single answer: the id alone for one, with the name of the part for several. */
export function idsOf(id: string, singles: readonly Answer[]): string[] {
  if (singles.length === 1) return [id];
  return singles.map(({ part }, i) => `${id}-${part ?? i + 1}`);
}

/** The record of a single answer without its sentence; what it does not state is left out. */
export function answerFinding(
  id: string,
  answer: Answer,
): Omit<Finding, "sentence"> | Omit<UnansweredFinding, "sentence"> {
  const about = {
    kind: "finding",
    id,
    title: answerTitle(answer),
    quantity: answer.quantity,
    measure: answer.measure,
    ...(answer.on && { on: answer.on }),
    ...(answer.arms && { arms: answer.arms }),
    ...(answer.visits && { visits: answer.visits }),
    ...(answer.adjustedFor.length > 0 && { adjustedFor: answer.adjustedFor }),
    planned: answer.planned,
    rule: answer.rule,
    unit: answer.unit,
    count: answer.count,
    method: answer.method,
  } as const;
  if (answer.unanswered !== undefined) return { ...about, unanswered: answer.unanswered };
  const { estimate } = answer;
  if (!estimate) return refuse("an answer with an estimate", "none", `finding ${id}`);
  const { value, interval, p } = estimate;
  return {
    ...about,
    value,
    ...(interval && { low: interval.low, high: interval.high, level: interval.level }),
    ...(p !== undefined && { p }),
    source: answer.source,
    ...(answer.leaveOneOut && { leaveOneOut: answer.leaveOneOut }),
    ...(answer.references.length > 0 && { references: answer.references }),
    ...(answer.warnings.length > 0 && { warnings: answer.warnings }),
  };
}

/** Findings by the content of the answer they show: the same question asked again has the same. */
const shownAnswers = new Map<string, RecordedFinding>();

function contentOf(answer: Answer): string {
  return JSON.stringify({ ...answerFinding("", answer), kind: answer.kind });
}

/** Keeps under which finding an answer was first shown, so that a claim can name it. */
export function rememberAnswer(answer: Answer, finding: RecordedFinding): void {
  const content = contentOf(answer);
  const first = shownAnswers.get(content);
  if (first === undefined || first.id === finding.id) shownAnswers.set(content, finding);
}

/** The finding that shows an answer; undefined when it was not shown. */
export function findingOfAnswer(answer: Answer): RecordedFinding | undefined {
  return shownAnswers.get(contentOf(answer));
}
