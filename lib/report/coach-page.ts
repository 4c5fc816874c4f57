import { type Markup, markup, nothing, proseHtml } from "../markup.js";
import type { Claim } from "../show/claim.js";
import type { Finding } from "../show/finding.js";
import { companionText, valueText } from "../show/wording.js";
import type { StudyAccount } from "../study/study-account.js";
import { cautionsHtml, handoutHtml } from "./handout-frame.js";
import { type RecordedNotebook, shownOf } from "./recorded.js";
import { soloStrip } from "./strip.js";

/** Whether the direction of the value is a question: changes, differences, slopes, correlations. */
function hasDirection({ says, low = 0, high = 0 }: Finding): boolean {
  return (
    low < 0 || high < 0 || /chang|differ|less\b|more\b|slope|correlat|shift|gain|effect/i.test(says)
  );
}

function valueWords(finding: Finding): string {
  const other = companionText(finding, finding.unit);
  return `about ${valueText(finding, finding.unit)}${other ? ` (${other})` : ""}`;
}

/** A finding in the words of the practice ground: how much, what else fits, and whether zero does. */
export function plainWords(finding: Finding): string {
  const { low, high, unit, n } = finding;
  const says = finding.says.trim().replace(/:$/, "");
  const start = `${says}: ${valueWords(finding)}, from ${n} golfers.`;
  if (low === undefined || high === undefined) return start;
  const end = (value: number) => valueText({ value, low, high }, unit);
  const range = ` Anything from ${end(low)} to ${end(high)} would fit these data.`;
  if (!hasDirection(finding)) return start + range;
  if (low > 0 || high < 0) return `${start}${range} No change at all would not fit.`;
  return `${start}${range} No change at all would fit too: no direction is shown.`;
}

function findingItem(finding: Finding): Markup {
  return markup`<li>${proseHtml(plainWords(finding))}${soloStrip(finding)}</li>`;
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

function claimWords({ says, support, strongest }: Claim): string {
  const heads = {
    supported: "May be said",
    contradicted: "Must not be said",
    "not settled": "Not settled",
  };
  return `${heads[support] ?? support}: “${says}” ${strongest}`;
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
