import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import { countWords, directionOf } from "../show/answer-words.js";
import { supportHeads } from "../show/claim.js";
import type { Claim } from "../show/claim-record.js";
import type { Finding } from "../show/finding-record.js";
import { companionText, valueText } from "../show/wording.js";
import type { StudyAccount } from "../study/study-account.js";
import { cautionsHtml } from "./cautions.js";
import { soloCord } from "./cord.js";
import { handoutHtml } from "./handout-frame.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";

function valueWords(finding: Finding): string {
  const other = companionText(finding, finding.unit);
  return `about ${valueText(finding, finding.unit)}${other ? ` (${other})` : ""}`;
}

const zeroWords = {
  above: " Zero is excluded.",
  below: " Zero is excluded.",
  unclear: " Zero is included: no direction is shown.",
} as const;

/** A finding in plain words: how much, the plausible range, and whether it includes zero. */
export function plainWords(finding: Finding): string {
  const { low, high, unit, title, count } = finding;
  const start = `${title}: ${valueWords(finding)}, from ${countWords(count)}.`;
  if (low === undefined || high === undefined) return start;
  const end = (value: number) => valueText({ value, low, high }, unit);
  const range = ` Plausible range: ${end(low)} to ${end(high)}.`;
  const direction = directionOf(finding);
  return direction === undefined ? start + range : start + range + zeroWords[direction];
}

function findingItem(finding: Finding): Markup {
  return markup`<li>${proseHtml(plainWords(finding))}${soloCord(finding)}</li>`;
}

/** Units that a coach measures in; standardised effects and p values stay in the report. */
const everyday = /^(kgf|N|mph|m\/s|km\/h|%)$/;
const mostOfNotebook = 4;

/** What a claim rests on, then the first few in everyday units. */
function chosen(notebook: RecordedNotebook, claimed: ReadonlySet<string>): Finding[] {
  const all = shownOf(notebook, "finding").map(({ shown }) => shown.finding);
  const first = all.filter(({ unit }) => everyday.test(unit)).slice(0, mostOfNotebook);
  return all
    .filter((finding) => first.includes(finding) || claimed.has(finding.id))
    .slice(0, 2 * mostOfNotebook);
}

function groupHtml(notebook: RecordedNotebook, claimed: ReadonlySet<string>): Markup {
  const findings = chosen(notebook, claimed);
  if (findings.length === 0) return nothing;
  return markup`<h2>${notebook.title}</h2><ul class="plain">${findings.map(findingItem)}</ul>`;
}

function claimWords({ statement, support, strongest, reason }: Claim): string {
  return `${supportHeads[support]}: “${statement}” ${reason ?? strongest}`;
}

/** What the design cannot carry, whatever the numbers are. */
export function notToConclude(study: StudyAccount): string[] {
  const left = study.flow.arms
    .flatMap(({ withdrew }) => withdrew)
    .reduce((sum, { people }) => sum + people, 0);
  const analysed = study.flow.arms.reduce((sum, arm) => sum + arm.analysed, 0);
  const alone = study.design.arms.length < 2;
  return [
    ...(study.simulated ? ["Anything about real golfers: the data are invented."] : []),
    ...(alone
      ? [
          "That the training made the change: with no control arm, practice at the test, the season and chance look the same.",
        ]
      : [
          "That every golfer of the trained arm gained, or that you could tell beforehand who will: these are averages of groups.",
        ]),
    `That a small gain is ruled out: ${analysed} golfers leave wide intervals.`,
    ...(left > 0 ? [`That those who left (${left}) would have done as those who stayed.`] : []),
    "That a golfer with a stronger grip swings faster because of it: between golfers, size, age and training go along with both.",
    "That the gain lasts after the last visit, or holds for golfers unlike these.",
    "How much grip a swing needs: a dynamometer reading is not the force on the handle.",
  ];
}

/** Group results in plain words for a coach, with what they do not show. */
export function coachPage(study: StudyAccount, notebooks: readonly RecordedNotebook[]): string {
  const mine = notebooks.filter((notebook) => notebook.study === study.name);
  const claims = mine.flatMap((notebook) =>
    shownOf(notebook, "claim").map(({ shown }) => shown.claim),
  );
  const claimed = new Set(
    claims.filter(({ support }) => support === "supported").map(({ finding }) => finding),
  );
  const not = notToConclude(study).map((words) => markup`<li>${proseHtml(words)}</li>`);
  const said = claims.map((claim) => markup`<li>${proseHtml(claimWords(claim))}</li>`);
  const invented = study.simulated ? " The data are invented; nobody was tested." : "";
  const people = study.flow.arms.map(
    ({ title, enrolled, analysed }) =>
      `${title}: ${enrolled} began, ${analysed} were measured first and last`,
  );
  const body = markup`<p class="question">${proseHtml(study.question ?? "")}</p>
<p>${people.join("; ")}.${invented}</p>
${said.length ? markup`<h2>In a sentence</h2><ul>${said}</ul>` : ""}
${mine.map((notebook) => groupHtml(notebook, claimed))}
<p>The report of the study holds the other findings, and where each of these comes from.</p>
<h2>What may not be concluded</h2><ul>${not}</ul>
${cautionsHtml("Before anyone squeezes or swings", study.cautions)}`;
  return handoutHtml(`For the coach: ${study.title}`, body);
}
