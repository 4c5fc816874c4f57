import { lowerFirst } from "../first-letter.js";
import { primarySentences, ruleSentences } from "../show/analysis-done.js";
import { listWords } from "../show/answer-words.js";
import { percentLevel, withUnit } from "../show/wording.js";
import {
  type Block,
  cite,
  type DraftTable,
  gap,
  heading,
  type Inline,
  type Numbering,
  paragraph,
  words,
} from "./draft.js";
import { plannedResults, weekWords } from "./front-matter.js";
import { methodWords } from "./result-words.js";
import type { ManuscriptFacts, StudyFacts } from "./study-facts.js";

/** What the authors state for a reporting item, or a visible gap. */
export function stated(study: StudyFacts, item: string, asks: string): Inline[] {
  const statement = study.statements[item];
  return statement === undefined ? [gap(asks)] : words`${statement}`;
}

/** Methods as used: from the design, the plan and the methods that the findings name. */
export function methodsSection(facts: ManuscriptFacts, numbering: Numbering): Block[] {
  const { study } = facts;
  const part = (title: string, ...sentences: readonly Inline[][]) => [
    heading(2, title),
    paragraph(...sentences),
  ];
  return [
    heading(1, "Methods"),
    ...part("Design", ...designSentences(study)),
    ...part("Participants", ...participantSentences(study)),
    ...part("Randomisation and blinding", ...allocationSentences(study)),
    ...part("Device and calibration", ...deviceSentences(study)),
    ...part("Test protocol", ...protocolSentences(study)),
    heading(2, "Training protocol"),
    ...trainingBlocks(study, numbering.nextTable()),
    ...part("Outcomes and rules", ...outcomeSentences(study)),
    ...part("Sample size", stated(study, "consort 16a", "how the number of golfers was chosen")),
    ...part("Statistical methods", ...statisticsSentences(facts)),
    ...part("Changes to the plan", ...changeSentences(study)),
  ];
}

function designSentences(study: StudyFacts): Inline[][] {
  const { arms, occasions } = study.design;
  const kind =
    arms.length === 1
      ? `a study of one arm (${lowerFirst(arms[0]?.title ?? "")}) without a control group`
      : `a study of ${arms.length} parallel arms: ${listWords(arms.map(({ title, control }) => (control ? `${lowerFirst(title)} as control` : lowerFirst(title))))}`;
  return [
    words`This was ${kind}.`,
    words`Golfers were tested in ${weekWords(occasions.map(({ week }) => week))}.`,
    words`Reporting follows CONSORT 2025 ${cite("consort")} and, for the training, CERT ${cite("cert")}; a checklist is at the end.`,
    words`Registration: ${stated(study, "consort 2", "registry, number and date, or that the study was not registered")}.`,
    words`Ethics approval: ${gap("committee, number, date; consent of the golfers")}.`,
    words`Setting: ${stated(study, "consort 11", "where the tests and the training took place")}.`,
  ];
}

function participantSentences(study: StudyFacts): Inline[][] {
  return [
    words`Eligibility: ${stated(study, "consort 12a", "who could take part and who could not")}.`,
    words`Recruitment: ${gap("how and when golfers were recruited")}.`,
  ];
}

function allocationSentences(study: StudyFacts): Inline[][] {
  if (study.design.arms.length === 1) {
    return [words`There was one arm, so nothing was allocated.`];
  }
  return [
    words`Allocation sequence: ${stated(study, "consort 17a", "whether arms were randomised, who made the sequence and how, or how golfers came into their arm")}.`,
    words`Concealment: ${stated(study, "consort 18", "how the allocation was hidden until it was made")}.`,
    words`Blinding: ${stated(study, "consort 20a", "who did not know the allocation")}.`,
  ];
}

function deviceSentences(study: StudyFacts): Inline[][] {
  const { devices, plan } = study;
  const checks = devices.map(
    ({ device, n, worstPercent, accepted }) =>
      words`Dynamometer ${device} was checked ${n} times with known loads: the largest error of a reading was ${worstPercent.toFixed(1)} % of the load (${accepted ? "within" : "outside"} the accepted 5 %).`,
  );
  return [
    words`Grip force was measured with ${gap("make, model and resolution of the dynamometer")}. Club-head speed was measured with ${gap("make, model and resolution of the speed monitor")}.`,
    ...(checks.length > 0 ? checks : [words`Calibration: ${gap("how the devices were checked")}.`]),
    plan.correctsCalibration
      ? words`Readings were corrected by the calibration line of the device.`
      : words`Readings were not corrected.`,
  ];
}

function protocolSentences(study: StudyFacts): Inline[][] {
  const { design, cautions } = study;
  const positions = design.positions.map(({ title, how }) =>
    how ? `${lowerFirst(title)} (${lowerFirst(how).replace(/\.$/, "")})` : lowerFirst(title),
  );
  const rest = design.restSeconds
    ? `, with at least ${design.restSeconds} s of rest between trials of one hand`
    : "";
  const where =
    positions.length > 0
      ? ` in ${positions.length === 1 ? "one position" : `${positions.length} positions`}: ${listWords(positions)}`
      : "";
  const clubs = design.clubs.length > 0 ? ` with the ${listWords(design.clubs)}` : "";
  return [
    words`Grip force of the ${listWords(design.hands)} hand was measured${where}. Each was tested in ${design.gripTrials} maximal trials${rest}.`,
    words`The lead hand is the upper hand on the club: the left hand of a right-sided player.`,
    words`Club-head speed was measured in ${design.swings} swings${clubs}.`,
    words`A trial counts unless it was stopped for pain, refused, or invalid because of a device fault; such trials are recorded with their reason.`,
    words`Order of tests, warm-up and encouragement: ${gap("how these were handled")}.`,
    cautions.length > 0 ? words`Safety: ${cautions.join(" ")}` : [],
  ];
}

/** Items of CERT that describe a programme, in the order of the template. */
const certItems: readonly (readonly [string, string, string])[] = [
  ["1", "Equipment", "equipment used for training"],
  ["2", "Instructor", "who led the training, with what qualification"],
  ["3", "Setting of groups", "alone or in a group"],
  ["4", "Supervision", "supervised or not, and how it was delivered"],
  ["5", "Adherence measure", "how adherence was measured"],
  ["6", "Motivation", "what was done for motivation"],
  ["7a", "Rule of progression", "when the load was raised"],
  ["7b", "Progression", "how the load was raised"],
  ["8", "Exercises", "each exercise, well enough to repeat it"],
  ["9", "Home programme", "what was done at home"],
  ["10", "Other components", "parts that were not exercise"],
  ["11", "Adverse events", "how adverse events of training were recorded"],
  ["12", "Place", "where training took place"],
  ["13", "Dose", "sets, repetitions, sessions and weeks as prescribed"],
  ["14a", "Tailoring", "the same for all, or fitted to the golfer"],
  ["14b", "How tailored", "how it was fitted"],
  ["15", "Starting level", "how the starting load was set"],
  ["16a", "Fidelity check", "how it was checked that the plan was followed"],
];

function trainingBlocks(study: StudyFacts, number: number): Block[] {
  const delivered = study.training.map(
    ({ title, completed, logged, minutes }) =>
      words`${title}: ${completed} of ${logged} logged sessions were completed${minutes === undefined ? "" : ` (median ${minutes} min)`}.`,
  );
  const log =
    delivered.length > 0 ? words`Training as delivered, from the training log (CERT 16b):` : [];
  const table: DraftTable = {
    kind: "table",
    number,
    caption: words`Training protocol by the items of CERT.`,
    head: ["Item", "Training"],
    rows: certItems.map(([id, name, asks]) => [
      words`${id} ${name}`,
      stated(study, `cert ${id}`, asks),
    ]),
    notes: words`CERT, Consensus on Exercise Reporting Template.`,
    widths: [28, 72],
  };
  return [
    paragraph(words`Table ${number} describes the training of each arm.`, log, ...delivered),
    table,
  ];
}

function outcomeSentences(study: StudyFacts): Inline[][] {
  const { plan, done } = study;
  const worthwhile = Object.entries(plan.smallestWorthwhile).map(([name, value]) => {
    const [, quantity = name, unit = ""] = /^(.*)_([^_]+)$/.exec(name) ?? [];
    return `${quantity} ${withUnit(String(value), unit)}`;
  });
  return [
    plan.primary
      ? words`The planned primary outcome was ${plan.primary}.`
      : words`Primary outcome: ${gap("the outcome that the plan named first")}.`,
    ...primarySentences(done).map((sentence) => words`${sentence}`),
    ...ruleSentences(done).map((sentence) => words`${sentence}`),
    worthwhile.length > 0
      ? words`Smallest worthwhile change by the plan: ${listWords(worthwhile)}.`
      : [],
    plan.decidedOn ? words`The plan was recorded on ${plan.decidedOn}.` : [],
    words`All other findings are marked as not planned.`,
  ];
}

function statisticsSentences(facts: ManuscriptFacts): Inline[][] {
  const { study, programs } = facts;
  const methods = [...new Set(plannedResults(facts).map(({ result }) => result.method))];
  const named = methods.flatMap((method, i) => [
    ...(i === 0 ? [] : words`; `),
    ...methodWords(method),
  ]);
  const versions = programs.map(({ name, version }) => `${name} ${version}`);
  return [
    words`Intervals are ${percentLevel(study.plan.level)} confidence intervals (CI) unless stated otherwise; p values are two-sided.`,
    named.length > 0 ? words`Planned findings were estimated by: ${named}.` : [],
    words`The method of every other finding is named below its table.`,
    words`No value was imputed: a golfer without a value is left out of that finding, and n says how many remain.`,
    words`Each finding based on golfers was also computed with each golfer left out in turn.`,
    words`The seed of the random numbers was ${study.plan.seed}.`,
    words`Software: ${listWords(versions)}. The notebooks compute every number again from the raw trials.`,
  ];
}

function changeSentences({ changes, done }: StudyFacts): Inline[][] {
  const departures = done.departures.map((sentence) => words`${sentence}`);
  if (changes.length === 0) return [words`No change to the plan is recorded.`, ...departures];
  const recorded = changes.map(
    ({ on, what, why }) =>
      words`${on}: ${what.replace(/\.$/, "")}. Reason: ${lowerFirst(why).replace(/\.$/, "")}.`,
  );
  return [...recorded, ...departures];
}
