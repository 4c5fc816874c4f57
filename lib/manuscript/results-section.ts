import { listWords } from "../show/answer-words.js";
import {
  type Block,
  type DraftFigure,
  heading,
  type Inline,
  type Numbering,
  paragraph,
  words,
} from "./draft.js";
import { participants } from "./participants-section.js";
import { claimWord } from "./recorded-numbers.js";
import { QuotedResult, resultSentences, unansweredSentences } from "./result-words.js";
import { resultsTable } from "./results-table.js";
import {
  type ClaimFacts,
  type ManuscriptFacts,
  type QuestionFacts,
  sameResultKey,
} from "./study-facts.js";

/** Results: who took part, then question by question, planned comparisons first. */
export function resultsSection(facts: ManuscriptFacts, numbering: Numbering): Block[] {
  const isPlanned = ({ results }: QuestionFacts) => results.some(({ planned }) => planned);
  const questions = [
    ...facts.questions.filter(isPlanned),
    ...facts.questions.filter((question) => !isPlanned(question)),
  ];
  return [
    heading(1, "Results"),
    heading(2, "Participants"),
    ...participants(facts, numbering),
    ...statedOnce(questions).flatMap((question) => questionBlocks(facts, question, numbering)),
    heading(2, "Harms"),
    paragraph(...harmSentences(facts)),
  ];
}

function questionBlocks(
  facts: ManuscriptFacts,
  question: QuestionFacts,
  numbering: Numbering,
): Block[] {
  const { name } = facts.study;
  const planned = question.results.filter((result) => result.planned);
  const others = question.results.filter((result) => !result.planned);
  const answered = others.filter(({ value }) => value !== undefined);
  const { figures: drawn, claims } = question;
  if (question.results.length === 0 && drawn.length === 0 && claims.length === 0) return [];
  const figures = drawn.map((figure) => figureBlock(question, figure, numbering));
  const table =
    answered.length > 0
      ? resultsTable(facts, question, answered, numbering.nextTable())
      : undefined;
  const seen = [
    ...(table ? [`Table ${table.number} lists the findings that were not planned.`] : []),
    ...(figures.length > 0 ? [`See ${figureNumbers(figures)}.`] : []),
  ];
  return [
    heading(2, question.title),
    ...planned.map((result) =>
      paragraph(
        words`Planned comparison.`,
        ...resultSentences(new QuotedResult(name, question, result)),
      ),
    ),
    ...claimParagraph(name, question),
    ...unansweredParagraph(others),
    ...(seen.length > 0 ? [paragraph(...seen.map((sentence) => words`${sentence}`))] : []),
    ...figures,
    ...(table ? [table] : []),
  ];
}

function unansweredParagraph(results: QuestionFacts["results"]): Block[] {
  const sentences = unansweredSentences(results);
  return sentences.length === 0 ? [] : [paragraph(...sentences)];
}

/** "Figure 1", "Figures 1 and 2", "Figures 1, 2 and 3" */
function figureNumbers(figures: readonly DraftFigure[]): string {
  const numbers = listWords(figures.map(({ number }) => String(number)));
  return figures.length === 1 ? `Figure ${numbers}` : `Figures ${numbers}`;
}

/** Notebooks may show one planned result in several places; a text states it once. */
function statedOnce(questions: readonly QuestionFacts[]): QuestionFacts[] {
  const stated = new Set<string>();
  return questions.map((question) => {
    const results = question.results.filter((result) => {
      const key = sameResultKey(result);
      const isRepeat = result.planned === true && stated.has(key);
      if (result.planned) stated.add(key);
      return !isRepeat;
    });
    return { ...question, results };
  });
}

/** Planned conclusions first, and within these in the order of the notebook. */
function claimParagraph(study: string, question: QuestionFacts): Block[] {
  if (question.claims.length === 0) return [];
  const ofPlan = new Set(question.results.flatMap(({ id, planned }) => (planned ? [id] : [])));
  const first = ({ planned, finding }: ClaimFacts) => planned || ofPlan.has(finding);
  const sorted = [
    ...question.claims.filter(first),
    ...question.claims.filter((claim) => !first(claim)),
  ];
  return [paragraph(...sorted.map((claim) => claimSentence(study, question, claim, first(claim))))];
}

/** A candidate conclusion with its state. Only a supported one is asserted. */
export function claimSentence(
  study: string,
  question: Pick<QuestionFacts, "version">,
  claim: ClaimFacts,
  isPlanned: boolean,
): Inline[] {
  const statement = claim.statement.replace(/\.\s*$/, "");
  const state = (word: string) => claimWord(study, question, claim, word);
  const unplanned = isPlanned ? "" : ", not planned";
  if (claim.support === "supported") {
    return words`${statement} (${state("supported")} by these data${unplanned}).`;
  }
  const note = isPlanned ? "" : " (not planned)";
  if (claim.support === "contradicted") {
    return words`These data ${state("contradict")} the statement “${statement}”${note}.`;
  }
  return words`${state("Not settled")} by these data: “${statement}”${note}.`;
}

function figureBlock(
  question: QuestionFacts,
  { id, file, caption, alt, png }: QuestionFacts["figures"][number],
  numbering: Numbering,
): DraftFigure {
  const number = numbering.nextFigure();
  const { version } = question;
  return { kind: "figure", number, id, version, caption, alt, png, file };
}

function harmSentences({ study }: ManuscriptFacts): Inline[][] {
  const stopped = study.setAside
    .filter(({ reason }) => /pain|discomfort/i.test(reason))
    .reduce((sum, { rows }) => sum + rows, 0);
  return [
    words`Trials stopped for pain or discomfort: ${stopped}.`,
    ...study.training.map(
      ({ title, discomfort, logged }) =>
        words`${title}: discomfort was noted in ${discomfort} of ${logged} logged sessions.`,
    ),
  ];
}
