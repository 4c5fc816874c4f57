import { type Markup, markup, nothing, proseHtml, trustedMarkup } from "../markup.js";
import { countWords } from "../show/answer-words.js";
import type { Claim } from "../show/claim-record.js";
import type { Finding } from "../show/finding-record.js";
import { companionText, rounderFor, withUnit } from "../show/wording.js";
import type { StudyAccount } from "../study/study-account.js";
import { type NumberWords, spokenAnswer, worthwhileSentence } from "./answer-sentences.js";
import { cautionsHtml } from "./cautions.js";
import type { Conclusion } from "./conclusions.js";
import type { SiteContext } from "./context.js";
import { figureBeside, plainFigure } from "./figure-html.js";
import { estimateWords, type Stated } from "./finding-html.js";
import { handoutHtml } from "./handout-frame.js";
import { conclusionsIn, keyFinding, statedIn, studyKeyFinding } from "./ledger.js";
import type { RecordedNotebook } from "./recorded.js";

const most = 3;

/** A value with the same in another unit, and its interval as the range that is plausible. */
const coachNumbers: NumberWords = (finding) => {
  const { low, high, unit, value, count } = finding;
  const write = rounderFor(finding);
  const other = companionText({ ...finding, value: Math.abs(value) }, unit);
  const size = `${withUnit(write(Math.abs(value)), unit)}${other ? ` (${other})` : ""}`;
  const range =
    low === undefined || high === undefined
      ? ""
      : `plausible range ${write(low)} to ${withUnit(write(high), unit)}; `;
  return { size, rest: `(${range}${countWords(count)})` };
};

/** What a coach reads of a finding: size, plausible range, and who was measured. */
export function plainWords(finding: Finding): string {
  const spoken = spokenAnswer(finding, coachNumbers);
  if (spoken !== undefined) return spoken;
  const { size, rest } = coachNumbers(finding);
  return `${finding.title}: ${finding.value < 0 ? "−" : ""}${size} on average ${rest}.`;
}

/** What the design does not allow a coach to say, whatever the numbers are. */
export function notToConclude(study: StudyAccount): string[] {
  const left = study.flow.arms
    .flatMap(({ withdrew }) => withdrew)
    .reduce((sum, { people }) => sum + people, 0);
  const alone = study.design.arms.length < 2;
  return [
    alone
      ? "“The training made the change.” Nobody was tested without the training: practice at the test, the season and chance look the same."
      : "“Every golfer who trained gained.” These are averages of groups.",
    "“Train your grip and you will swing faster.” Size, age and training affect both.",
    ...(left > 0
      ? [`“Those who left (${left}) would have done as those who stayed.” They were not measured.`]
      : []),
    "“It lasts.” Nobody was measured after the last visit.",
  ];
}

/** Whether the claim is a sentence that a coach can say, and not a title with a sign and a bound. */
function isSpoken({ claim, finding }: Conclusion): boolean {
  return finding === undefined || !claim.statement.startsWith(`${finding.title}: `);
}

function plannedFirst(all: readonly Conclusion[]): Conclusion[] {
  const rank = ({ claim, finding }: Conclusion) => ((claim.planned ?? finding?.planned) ? 0 : 1);
  return [...all].sort((a, b) => rank(a) - rank(b));
}

/** The first conclusion on each finding: what is said of one number is said once. */
function onePerFinding(all: readonly Conclusion[]): Conclusion[] {
  return all.filter(
    (one, i) => all.findIndex(({ claim }) => claim.finding === one.claim.finding) === i,
  );
}

/** The headline: what the claim on the key finding says, as far as it is supported. */
function headline(study: StudyAccount, key: Stated | undefined, claims: readonly Claim[]): string {
  const keyClaim = claims.find(({ finding, bound }) => finding === key?.finding.id && bound === 0);
  if (!keyClaim) return study.question || study.title;
  if (keyClaim.support === "supported") return keyClaim.statement;
  const heads = { contradicted: "The opposite was found", "not settled": "Not settled" } as const;
  return `${heads[keyClaim.support]}: “${keyClaim.statement}”`;
}

function mayNot({ claim, finding }: Conclusion): string {
  const why =
    claim.support === "contradicted"
      ? "The results say the opposite."
      : finding
        ? `The results of ${countWords(finding.count)} do not settle it.`
        : "The results do not settle it.";
  return `“${claim.statement}” ${why}`;
}

/** One step that would tell more, from what the key finding leaves open. */
function nextStep(study: StudyAccount, key: Stated | undefined): string {
  if (study.design.arms.length < 2) {
    return "Test every golfer twice before the next block, to see how much a reading moves on its own, and let some golfers train as usual for comparison.";
  }
  const open = key && /not settled/.test(worthwhileSentence(key.finding) ?? "not settled");
  if (key && open) {
    const { n, of } = key.finding.count;
    return `The plausible range is wide. About four times as many ${of} (about ${4 * n}) would make it half as wide.`;
  }
  return "Repeat the study with other golfers: one study is one sample.";
}

/** Words of statistics, and what a coach says for them. */
const spokenFor: readonly (readonly [RegExp, string])[] = [
  [/smallest worthwhile(\s|<\/tspan><tspan[^>]*>)change/g, "smallest change$1that matters"],
  [/difference between the arms/g, "difference between the groups"],
  [/mean with its interval/g, "mean with its plausible range"],
  [/ \(adjusted for ([^)]+)\)/g, ", among golfers alike in $1"],
  [/ \(baseline-adjusted\)/g, ", for the same first value"],
  [/exceeds the minimal detectable change/g, "is larger than measurement error"],
  [/minimal detectable change/g, "measurement error"],
  [/typical error of one trial/g, "usual error of one squeeze"],
  [/typical error/g, "usual error"],
  [/95 % CI/g, "plausible range"],
];

/** A sentence of the record in words that a coach uses. */
function coachWords(text: string): string {
  return spokenFor.reduce((words, [of, spoken]) => words.replace(of, spoken), text);
}

/** A picture with the words in it and below it as a coach uses them; the words hold no markup. */
function inCoachWords(picture: Markup): Markup {
  return trustedMarkup(coachWords(String(picture)));
}

function list(items: readonly string[]): Markup {
  return markup`<ul>${items.map((words) => markup`<li>${proseHtml(coachWords(words))}</li>`)}</ul>`;
}

/** The key finding of every question, for those who want more; folded and not printed. */
function appendix(notebooks: readonly RecordedNotebook[], key: Stated | undefined): Markup {
  const rows = notebooks.flatMap((notebook) => {
    const found = keyFinding(statedIn(notebook));
    if (!found || found.finding === key?.finding) return [];
    return [
      markup`<tr><th scope="row">${notebook.title}</th><td>${proseHtml(coachWords(found.finding.title))}</td><td>${proseHtml(coachWords(estimateWords(found.finding)))}</td></tr>`,
    ];
  });
  if (rows.length === 0) return nothing;
  return markup`<details><summary>Appendix: the key number of every question</summary><table class="sheet appendix"><thead><tr><th scope="col">Question</th><th scope="col">Result</th><th scope="col">Estimate</th></tr></thead><tbody>${rows}</tbody></table></details>`;
}

/** What the author chooses for the coach's page. */
export interface CoachChoice {
  /** Ids of the findings that open the page; the study's key finding when there are none. */
  readonly findings?: readonly string[];
  /** Drawings of figures for a narrow screen, by drawing key. */
  readonly drawings?: SiteContext["drawings"];
}

/** The findings that open the coach's page. */
export function coachFindings(
  notebooks: readonly RecordedNotebook[],
  { findings = [] }: CoachChoice,
): Stated[] {
  const all = notebooks.flatMap(statedIn);
  const chosen = findings.flatMap((id) => all.find(({ finding }) => finding.id === id) ?? []);
  const key = studyKeyFinding(notebooks);
  return chosen.length > 0 ? chosen : key ? [key] : [];
}

/** One page for a coach: the answer, what may and may not be said, a picture, a next step. */
export function coachPage(
  study: StudyAccount,
  all: readonly RecordedNotebook[],
  choice: CoachChoice = {},
): string {
  const notebooks = all.filter(({ study: name, lesson }) => name === study.name && !lesson);
  const opening = coachFindings(notebooks, choice);
  const [key] = opening;
  const conclusions = plannedFirst(notebooks.flatMap(conclusionsIn));
  const claims = conclusions.map(({ claim }) => claim);
  const spoken = conclusions.filter(isSpoken);
  const may = spoken.filter(({ claim }) => claim.support === "supported").slice(0, most);
  const open = onePerFinding(spoken.filter(({ claim }) => claim.support !== "supported")).slice(
    0,
    2,
  );
  const not = [...open.map(mayNot), ...notToConclude(study)].slice(0, most);
  const lead = opening.map(({ finding }) =>
    [plainWords(finding), worthwhileSentence(finding)].filter(Boolean).join(" "),
  );
  const home = notebooks.find(({ slug }) => slug === key?.notebook.slug);
  const figure = home && figureBeside(home, key?.cell.number);
  const picture =
    home && figure
      ? inCoachWords(plainFigure({ drawings: choice.drawings ?? new Map() }, home, figure))
      : nothing;
  const statements =
    may.length > 0
      ? list(may.map(({ claim }) => `“${claim.statement}”`))
      : markup`<p>Nothing beyond the numbers above.</p>`;
  const body = markup`${lead.map((words) => markup`<p class="key-answer">${proseHtml(coachWords(words))}</p>`)}
${picture}
<div class="say"><div><h2>You may say</h2>${statements}</div><div><h2>You may not say</h2>${list(not)}</div></div>
<h2>Next step</h2><p>${proseHtml(nextStep(study, key))}</p>
${cautionsHtml("Before anyone squeezes or swings", study.cautions)}
${appendix(notebooks, key)}`;
  const invented = study.simulated ? " · invented data, nobody was tested" : "";
  const about = markup`For the coach · ${study.title}${invented}`;
  return handoutHtml(`For the coach: ${study.title}`, headline(study, key, claims), about, body);
}
