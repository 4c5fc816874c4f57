import { countWords } from "./answer-words.js";
import type { Finding, RecordedFinding, UnansweredFinding } from "./finding-record.js";
import { intervalText, probabilityText, valueText } from "./wording.js";

/** The value in words: a p value as a p value, everything else with its unit. */
export function findingValueText(
  finding: Pick<Finding, "value" | "low" | "high" | "unit" | "quantity">,
): string {
  return finding.quantity === "test"
    ? probabilityText(finding.value)
    : valueText(finding, finding.unit);
}

/** The sentence of a finding: title, value with unit, interval with level, n with its noun, method. */
export function findingSentence(
  finding:
    | Omit<Finding, "kind" | "id" | "sentence">
    | Omit<UnansweredFinding, "kind" | "id" | "sentence">,
): string {
  const { title } = finding;
  if ("unanswered" in finding) return `${title}: not answered. ${finding.unanswered}`;
  const range = finding.low === undefined ? "" : ` (${intervalText(finding)})`;
  const method = finding.method.replace(/\.$/, "");
  return `${title}: ${findingValueText(finding)}${range}, n = ${countWords(finding.count)}, ${method}.`;
}

/** Whether the plan named a finding, in words; undefined where that is no question. */
export function plannedWords({
  planned,
}: Pick<RecordedFinding, "planned">): "planned" | "not planned" | undefined {
  if (planned === undefined) return undefined;
  return planned ? "planned" : "not planned";
}
