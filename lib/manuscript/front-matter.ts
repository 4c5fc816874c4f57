import { lowerFirst } from "../first-letter.js";
import { type Block, gap, heading, type Inline, paragraph, words } from "./draft.js";
import { enrolledNumber } from "./recorded-numbers.js";
import { QuotedResult } from "./result-words.js";
import { claimSentence } from "./results-section.js";
import type { ManuscriptFacts, QuestionFacts, ResultFacts } from "./study-facts.js";

/** Title, authors, structured abstract and the question. */
export function frontMatter(facts: ManuscriptFacts): Block[] {
  const { study } = facts;
  return [
    heading(0, manuscriptTitle(facts)),
    paragraph([gap("names, affiliations, address for correspondence, ORCID")]),
    ...(study.simulated
      ? [
          paragraph(
            words`${bold("Simulated data.")} The data of this study were made by a simulator; nobody was tested. This draft must not be submitted as a study of people.`,
          ),
        ]
      : []),
    heading(1, "Abstract"),
    ...abstractParagraphs(facts),
    paragraph(
      words`${bold("Keywords:")} hand grip strength; golf; club-head speed; ${gap("more keywords")}.`,
    ),
    heading(1, "Introduction"),
    paragraph([gap("background, what is known, what is not known")]),
    paragraph(words`This study asked: ${study.question ?? gap("the question of the study")}`),
  ];
}

function bold(text: string): Inline {
  return { kind: "text", text, style: "bold" };
}

/** The study's question as a title; without one, the title of the study. */
export function manuscriptTitle({ study }: ManuscriptFacts): string {
  return study.question || study.title;
}

/** The findings that the plan named, with their questions. */
export function plannedResults(
  facts: ManuscriptFacts,
): { readonly question: QuestionFacts; readonly result: ResultFacts }[] {
  return facts.questions.flatMap((question) =>
    question.results
      .filter(({ planned }) => planned === true)
      .map((result) => ({ question, result })),
  );
}

/**
 * The planned findings that an abstract states: each comparison once. A later title that only adds
 * words to an earlier one is the same comparison by another method.
 */
function comparisonsOnce(planned: ReturnType<typeof plannedResults>): typeof planned {
  return planned.filter(
    ({ result }, i) =>
      !planned.slice(0, i).some(({ result: { title } }) => result.title.startsWith(title)),
  );
}

function abstractParagraphs(facts: ManuscriptFacts): Block[] {
  const { study } = facts;
  const { design } = study;
  const arms = design.arms.map(({ title, control }) =>
    control ? `${lowerFirst(title)} (control)` : lowerFirst(title),
  );
  const weeks = design.occasions.map(({ week }) => week);
  const shape =
    arms.length === 1 ? `one arm, ${arms[0]}, without a control group` : arms.join(" versus ");
  const planned = comparisonsOnce(plannedResults(facts));
  return [
    paragraph(
      words`${bold("Background:")} ${gap("why the question matters, in a sentence or two")}.`,
    ),
    paragraph(words`${bold("Objective:")} ${study.question ?? gap("the question")}`),
    paragraph(
      words`${bold("Methods:")} ${enrolledNumber(facts)} golfers took part (${shape}). They were tested in ${weekWords(weeks)}.`,
      study.plan.primary ? words`Primary outcome: ${study.plan.primary}.` : [],
    ),
    paragraph(
      words`${bold("Results:")}`,
      ...(planned.length === 0
        ? [words`No finding of this record is marked as planned.`]
        : planned.map(({ question, result }) => abstractResult(facts, question, result))),
    ),
    paragraph(words`${bold("Conclusions:")}`, ...abstractConclusions(facts), [
      gap("what follows from this, in one sentence"),
    ]),
  ];
}

/** "weeks 0, 3 and 6" */
export function weekWords(weeks: readonly number[]): string {
  if (weeks.length === 1) return `week ${weeks[0]}`;
  return `weeks ${weeks.slice(0, -1).join(", ")} and ${weeks.at(-1)}`;
}

function abstractResult(
  { study }: ManuscriptFacts,
  question: QuestionFacts,
  result: ResultFacts,
): Inline[] {
  const quoted = new QuotedResult(study.name, question, result);
  const title = result.title.replace(/[:.]\s*$/, "");
  if (result.value === undefined) return words`${title}: not answered. ${result.unanswered ?? ""}`;
  const direction = quoted.direction();
  const aboutInterval = direction.length > 0 ? words`; the interval ${direction}` : [];
  return words`${title}: ${quoted.estimate()}, n = ${quoted.count()}${aboutInterval}.`;
}

/** Planned conclusions first; where none is marked as planned, those of the planned findings. */
function abstractConclusions(facts: ManuscriptFacts): Inline[][] {
  const ofPlan = new Set(plannedResults(facts).map(({ result }) => result.id));
  return facts.questions.flatMap((question) =>
    question.claims
      .filter(({ planned, finding }) => planned || ofPlan.has(finding))
      .map((claim) => claimSentence(facts.study.name, question, claim, true)),
  );
}
