import { lowerFirst } from "../first-letter.js";
import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import { countedNouns, countWords, groupName } from "../show/answer-words.js";
import type { Finding, UnansweredFinding } from "../show/finding-record.js";
import { intervalText, valueText } from "../show/wording.js";
import { estimateWords, ofAttributes, type Stated } from "./finding-html.js";

/** How the numbers of a sentence are written: for a reviewer, or in a coach's words. */
export type NumberWords = (finding: Finding) => {
  /** The value without its sign, with its unit. */
  readonly size: string;
  /** The interval and what n counts, in parentheses. */
  readonly rest: string;
};

const numbers: NumberWords = (finding) => {
  const { value, low, high, unit } = finding;
  const size = valueText({ value: Math.abs(value), low, high }, unit);
  return { size, rest: `(${intervalText(finding)}; ${countWords(finding.count)})` };
};

/** A difference between two arms in words, from its fields. */
function differenceWords(finding: Finding, write: NumberWords): string | undefined {
  const { quantity, measure, arms, visits, low, high, value } = finding;
  if (quantity !== "difference" || !measure || arms?.second === undefined) return undefined;
  if (low === undefined || high === undefined) return undefined;
  const { size, rest } = write(finding);
  const [first, second] = [groupName(arms.first), groupName(arms.second)];
  const when = visits ? `In week ${visits.at.week}, ` : "";
  const outcome = when ? lowerFirst(measure.name) : measure.name;
  const none = when ? "no" : "No";
  if (low > 0 || high < 0) {
    const side = low > 0 ? "higher" : "lower";
    return `${when}${outcome} was on average ${size} ${side} in the ${first} than in the ${second} ${rest}.`;
  }
  const side = value < 0 ? "lower" : "higher";
  return `${when}${none} difference was shown in ${lowerFirst(measure.name)}: in the ${first} it was ${size} ${side} than in the ${second} ${rest}, and the interval includes zero.`;
}

/** A change within a group in words, from its fields. */
function changeWords(finding: Finding, write: NumberWords): string | undefined {
  const { quantity, measure, arms, visits, low, high, value } = finding;
  if (quantity !== "change" || !measure || low === undefined || high === undefined)
    return undefined;
  const { size, rest } = write(finding);
  const span = visits?.before ? ` from week ${visits.before.week} to week ${visits.at.week}` : "";
  const where = arms ? ` in the ${groupName(arms.first)}` : "";
  if (low > 0 || high < 0) {
    const moved = low > 0 ? "rose" : "fell";
    return `${measure.name}${where} ${moved} by ${size} on average${span} ${rest}.`;
  }
  const side = value < 0 ? "lower" : "higher";
  return `${measure.name}${where} showed no clear change${span}: ${size} ${side} ${rest}, and the interval includes zero.`;
}

/** A difference or a change as a sentence; nothing where the finding is neither. */
export function spokenAnswer(finding: Finding, write: NumberWords): string | undefined {
  return differenceWords(finding, write) ?? changeWords(finding, write);
}

/** A finding as one sentence with its numbers. */
export function answerSentence(finding: Finding): string {
  return (
    spokenAnswer(finding, numbers) ??
    `${finding.title}: ${estimateWords(finding)}; n = ${countWords(finding.count)}.`
  );
}

const worthwhile = "smallest worthwhile change";

/** Whether the interval lies beyond the smallest worthwhile change, in one sentence. */
export function worthwhileSentence(finding: Finding): string | undefined {
  const { low, high, unit, references = [] } = finding;
  const reference = references.find(({ name }) => name === worthwhile);
  if (!reference || low === undefined || high === undefined) return undefined;
  const size = Math.abs(reference.value);
  const words = `the ${worthwhile} of ${valueText({ value: size }, unit)}`;
  if (low > size || high < -size) return `This exceeds ${words}.`;
  if (low > -size && high < size) return `This is smaller than ${words}.`;
  return `Whether this exceeds ${words} is not settled.`;
}

/** What a change within a group cannot show, which readers without a control arm may forget. */
function withoutControlSentence({ quantity, arms }: Finding): string | undefined {
  if (quantity !== "change" || arms?.second !== undefined) return undefined;
  return "This includes any change that would have happened without training.";
}

/** The answer of a finding in at most three short sentences. */
export function answerText(finding: Finding): string {
  const sentences = [
    answerSentence(finding),
    worthwhileSentence(finding),
    withoutControlSentence(finding),
  ];
  return sentences.filter(Boolean).join(" ");
}

const inOnePiece = new RegExp(`% CI|[Ww]eek \\d|n = \\d|\\d (?:${countedNouns.join("|")})`, "g");

/** Large type breaks lines often: "95 % CI", "week 6" and "24 golfers" stay whole. */
function keptTogether(text: string): string {
  return text.replace(inOnePiece, (words) => words.replaceAll(" ", "\u00a0"));
}

/** The answer of a study; why there is none yet, where the data do not answer. */
export function studyAnswerHtml(
  stated: Stated | undefined,
  unanswered: UnansweredFinding | undefined,
): Markup {
  if (stated || !unanswered) return answerHtml(stated);
  return markup`<p class="key-answer">${proseHtml(`The data do not answer the question yet. ${unanswered.unanswered}`)}</p>`;
}

/** The answer to a page's question; nothing where the page has no finding. */
export function answerHtml(stated: Stated | undefined): Markup {
  if (!stated) return nothing;
  const { notebook, finding } = stated;
  return markup`<p class="key-answer" ${ofAttributes(notebook, "finding", finding.id)}>${proseHtml(keptTogether(answerText(finding)))}</p>`;
}
