import { lowerFirst, upperFirst } from "../first-letter.js";
import { listWords } from "../show/answer-words.js";
import {
  type Block,
  type DraftTable,
  gap,
  heading,
  type Inline,
  paragraph,
  words,
} from "./draft.js";
import { plannedResults } from "./front-matter.js";
import { type MethodReference, referenceText } from "./method-references.js";
import { stated } from "./methods-section.js";
import { sideOf } from "./recorded-numbers.js";
import type { ChecklistItem, ManuscriptFacts, QuestionFacts, ResultFacts } from "./study-facts.js";

/** Discussion: gaps for the author, limitations from the record. */
export function discussionSection(facts: ManuscriptFacts): Block[] {
  return [
    heading(1, "Discussion"),
    paragraph([gap("what the planned comparison means, beside earlier studies")]),
    heading(2, "Limitations"),
    paragraph(...limitationSentences(facts)),
    ...facts.questions.flatMap(limitsOfQuestion),
    paragraph([gap("other limits: sample, measurement, generality")]),
    heading(2, "Conclusions"),
    paragraph([gap("conclusions no stronger than the results above")]),
  ];
}

function limitationSentences(facts: ManuscriptFacts): Inline[][] {
  const { study, questions } = facts;
  const planned = plannedResults(facts).map(({ result }) => result);
  const results = questions.flatMap((question) => question.results);
  const open = planned.filter((result) => sideOf(result) === "includes").length;
  const fragile = planned.flatMap(({ changesConclusion }) => changesConclusion);
  const lost = study.flow.arms.reduce((sum, arm) => sum + arm.enrolled - arm.analysed, 0);
  const others = results.filter(({ planned: isPlanned }) => isPlanned !== true).length;
  return [
    ...(study.simulated ? [words`The data are simulated.`] : []),
    ...(study.design.arms.length === 1
      ? [
          words`Without a control group, a change includes any change that would have happened without training.`,
        ]
      : []),
    ...(lost > 0
      ? [words`Golfers enrolled who are not ${study.flow.analysedWords}: ${lost}.`]
      : []),
    ...(open > 0 ? [words`Planned findings whose interval includes zero: ${open}.`] : []),
    ...(fragile.length > 0
      ? [
          words`The planned conclusion changes if one of these is left out: ${listWords([...new Set(fragile)])}.`,
        ]
      : []),
    words`Findings that were not planned: ${others}. Each raises the chance of a false positive.`,
    ...unansweredReasons(results),
  ];
}

/** The warnings of a question's findings, each once: the finding, then what limits it. */
function limitsOfQuestion({ title, results }: QuestionFacts): Block[] {
  const told = new Set<string>();
  const sentences = results.flatMap((result) => {
    const fresh = result.warnings.filter((warning) => !told.has(warning));
    for (const warning of fresh) told.add(warning);
    if (fresh.length === 0) return [];
    const name = result.title.replace(/[:.]\s*$/, "");
    const [first = "", ...others] = fresh.map(asSentence);
    return [words`${name}: ${[lowerFirst(first), ...others].join(" ")}`];
  });
  if (sentences.length === 0) return [];
  return [paragraph([{ kind: "text", text: title, style: "italic" }], ...sentences)];
}

/** Why the data cannot answer, each reason once; the results name the questions. */
function unansweredReasons(results: readonly ResultFacts[]): Inline[][] {
  const titles = new Map<string, Set<string>>();
  for (const { title, unanswered } of results) {
    if (unanswered === undefined) continue;
    titles.set(unanswered, (titles.get(unanswered) ?? new Set()).add(title));
  }
  return [...titles].map(([reason, { size }]) => {
    const findings = size === 1 ? "1 finding is" : `${size} findings are`;
    return words`${asSentence(reason)} For this reason ${findings} not answered.`;
  });
}

function asSentence(text: string): string {
  const first = upperFirst(text);
  return /[.!?]$/.test(first) ? first : `${first}.`;
}

/** Declarations: what the record knows, and gaps for the rest. */
export function declarationsSection({ study }: ManuscriptFacts): Block[] {
  const licence = study.licence ? ` under ${study.licence}` : "";
  return [
    heading(1, "Declarations"),
    paragraph(words`Funding: ${stated(study, "consort 5a", "who paid, and what part they had")}.`),
    paragraph(
      words`Competing interests: ${stated(study, "consort 5b", "interests of each author")}.`,
    ),
    paragraph(words`Contributions: ${gap("who did what, by the CRediT roles")}.`),
    paragraph(
      words`Data and code: the raw trials, their dictionary and the notebooks that make every number are deposited${licence} at ${gap("address and DOI of the deposit")}.`,
    ),
    paragraph(words`Thanks: ${gap("people who helped, with their consent")}.`),
  ];
}

/** The references that the text cites, in the order in which it cites them. */
export function referencesSection(cited: readonly MethodReference[]): Block[] {
  return [
    heading(1, "References"),
    ...cited.map((reference, i) => ({
      ...paragraph(words`${i + 1}. ${referenceText(reference)}`),
      isReference: true,
    })),
    paragraph([gap("further references")]),
  ];
}

/** Where the manuscript speaks about an item, by checklist and number. */
const places: Readonly<Record<string, string>> = {
  "consort 1a": "Title",
  "consort 2": "Methods, Design",
  "consort 3": "Methods, Outcomes and rules; Declarations",
  "consort 4": "Declarations",
  "consort 5a": "Declarations",
  "consort 5b": "Declarations",
  "consort 6": "Introduction",
  "consort 7": "Introduction",
  "consort 9": "Methods, Design",
  "consort 10": "Methods, Changes to the plan",
  "consort 11": "Methods, Design",
  "consort 12a": "Methods, Participants",
  "consort 13": "Methods, Training protocol",
  "consort 14": "Methods, Outcomes and rules",
  "consort 15": "Methods, Test protocol",
  "consort 16a": "Methods, Sample size",
  "consort 17a": "Methods, Randomisation and blinding",
  "consort 18": "Methods, Randomisation and blinding",
  "consort 20a": "Methods, Randomisation and blinding",
  "consort 21a": "Methods, Statistical methods",
  "consort 21c": "Methods, Statistical methods",
  "consort 22a": "Results, Participants",
  "consort 22b": "Results, Participants",
  "consort 23a": "Results, Participants",
  "consort 24a": "Methods, Training protocol",
  "consort 25": "Results, Participants",
  "consort 26": "Results",
  "consort 27": "Results, Harms",
  "consort 30": "Discussion, Limitations",
};

/** The checklist: each item with the section that speaks about it. */
export function checklistSection(items: readonly ChecklistItem[], number: number): Block[] {
  const rows = items.map(({ guideline, id, matter }) => {
    const place =
      guideline === "cert" ? "Methods, Training protocol" : places[`${guideline} ${id}`];
    return [
      words`${guideline.toUpperCase()} ${id}`,
      words`${matter}`,
      place === undefined ? [gap("where")] : words`${place}`,
    ];
  });
  const table: DraftTable = {
    kind: "table",
    number,
    caption: words`Reporting checklist with the place of each item.`,
    head: ["Item", "Topic", "Place in this manuscript"],
    rows,
    notes: words`Item numbers of CONSORT 2025 and CERT; topics in our words. For arms that were not randomised, items on allocation say how golfers came into their arm.`,
    widths: [20, 47, 33],
  };
  return [heading(1, "Reporting checklist"), table];
}
