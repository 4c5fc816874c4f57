import type { Answer } from "../analysis/study-answer.js";
import { itemAt } from "../entry.js";
import { anAnswer, idsOf, singlesOf } from "./answer-finding.js";
import { answerShown } from "./finding.js";
import type { RecordedFinding } from "./finding-record.js";

/**
 * States every result of an answer, one finding each: all comparisons of the arms, all visits. A
 * single answer keeps the id; several get the name of their part behind it: "primary-grip".
 * @param id names the findings in the record
 * @param answer from a question such as `compareArms(change)`
 * @returns the frozen records in the order of the answer
 * @throws InputError when no answer is given, or the id is none
 * @example findings("within", changeWithin(openStudy("winter-block").primary.change())).length // 2
 */
export function findings(id: string, answer: Answer): readonly RecordedFinding[] {
  const singles = singlesOf(anAnswer(answer, "findings"));
  const ids = idsOf(id, singles);
  return Object.freeze(singles.map((single, i) => answerShown(itemAt(ids, i), single)));
}
