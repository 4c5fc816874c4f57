import { percentLevel } from "../show/wording.js";
import {
  analysed,
  armList,
  changes,
  delivered,
  dose,
  harms,
  losses,
  outcomes,
  type ReportedStudy,
  sentence,
} from "./reported-words.js";

/** One item of a reporting guideline: its number there, its matter in our words, how it is filled. */
export interface ReportingItem {
  /** Number of the item in its checklist. */
  readonly id: string;
  /** What the item is about. */
  readonly matter: string;
  /** Words from the record, or nothing when the record does not say. */
  readonly fill?: (study: ReportedStudy) => string | undefined;
}

/** An item of a reporting guideline, with what the study states about it. */
export interface FilledItem {
  /** Number of the item in its checklist. */
  readonly id: string;
  /** What the item is about. */
  readonly matter: string;
  /** What the study states; undefined where it states nothing. */
  readonly says: string | undefined;
  /** "record" when the study's own files say it, "statement" when its authors wrote it. */
  readonly from: "record" | "statement" | "missing";
}

/**
 * CONSORT 2025, the items that a small training study should state.
 * @see Hopewell S et al. (2025) PLoS Med 22(4):e1004587, table 1 (item numbers; the words are ours)
 */
export const consortItems: readonly ReportingItem[] = [
  { id: "1a", matter: "The title says that people were allocated at random, if they were" },
  { id: "2", matter: "Registration: registry, number, date" },
  {
    id: "3",
    matter: "Where the plan of the study and of its analysis can be read",
    fill: ({ name, plan }) =>
      sentence([
        `data/${name}/datapackage.json.`,
        plan.decidedOn && `Decided on ${plan.decidedOn}.`,
      ]),
  },
  {
    id: "4",
    matter: "Where the de-identified data, their dictionary and the code are",
    fill: ({ name, licence }) =>
      sentence([
        `Data and dictionary in data/${name}, code in notebooks/ and lib/.`,
        licence && `Licence: ${licence}.`,
      ]),
  },
  { id: "5a", matter: "Who paid, and what part they had" },
  { id: "5b", matter: "Interests of the authors" },
  { id: "6", matter: "Background and reason for the study" },
  { id: "7", matter: "Aims, for benefit and for harm", fill: ({ question }) => question },
  {
    id: "9",
    matter: "Kind of design",
    fill: (study) =>
      `${study.design.arms.length === 1 ? "One arm, no control" : "Parallel arms"}: ${armList(study)}.`,
  },
  {
    id: "10",
    matter: "Changes after the start, and analyses that were not planned",
    fill: changes,
  },
  { id: "11", matter: "Setting and place" },
  { id: "12a", matter: "Who could take part" },
  { id: "13", matter: "What each arm did, well enough to repeat it" },
  { id: "14", matter: "Outcomes, how and when they were measured", fill: outcomes },
  {
    id: "15",
    matter: "How harms were asked for and recorded",
    fill: ({ training }) =>
      sentence([
        "Each trial has a status: valid, stopped for pain, refused, or a fault of the device.",
        training.length ? "The training log asks for discomfort at every bout." : undefined,
      ]),
  },
  { id: "16a", matter: "How the number of people was chosen" },
  { id: "17a", matter: "Who made the allocation sequence, and how" },
  { id: "18", matter: "How the allocation was hidden until it was made" },
  { id: "20a", matter: "Who did not know the allocation" },
  {
    id: "21a",
    matter: "Statistical methods",
    fill: ({ plan }) =>
      `Intervals at ${percentLevel(plan.level)} unless a finding says otherwise, random numbers from seed ${plan.seed}; methods by finding below.`,
  },
  {
    id: "21c",
    matter: "How missing values were treated",
    fill: () =>
      "Nothing is imputed: people without a value are left out of that result and counted in its n.",
  },
  { id: "22a", matter: "People in each arm, from allocation to analysis", fill: analysed },
  { id: "22b", matter: "Losses after allocation, with reasons", fill: losses },
  {
    id: "23a",
    matter: "Dates of recruitment and of follow-up",
    fill: ({ dates }) => dates && `Measured from ${dates.first} to ${dates.last}.`,
  },
  { id: "24a", matter: "What was delivered, and how much of it was done", fill: delivered },
  {
    id: "25",
    matter: "Baseline of each arm",
    fill: ({ people }) =>
      people.length ? people.map(({ label, says }) => `${label}: ${says}`).join("; ") : undefined,
  },
  {
    id: "26",
    matter: "Results with their precision",
    fill: () => "Every finding carries its interval: see the ledger.",
  },
  { id: "27", matter: "Harms in each arm", fill: harms },
  { id: "30", matter: "Limits of the study" },
];

/**
 * CERT: how a training programme is described.
 * @see Slade SC, Dionne CE, Underwood M, Buchbinder R (2016) Br J Sports Med 50(23):1428–1437 (item
 *   numbers; the words are ours)
 */
export const certItems: readonly ReportingItem[] = [
  { id: "1", matter: "Equipment" },
  { id: "2", matter: "Who led it, with what training" },
  { id: "3", matter: "Alone or in a group" },
  { id: "4", matter: "Supervised or not, and how it was given" },
  {
    id: "5",
    matter: "How adherence was measured",
    fill: ({ training }) =>
      training.length
        ? "By a training log: date, minutes, and whether the bout was completed."
        : undefined,
  },
  { id: "6", matter: "What was done for motivation" },
  { id: "7a", matter: "When the load goes up: the rule" },
  { id: "7b", matter: "How the load went up" },
  { id: "8", matter: "Each exercise, well enough to repeat it" },
  { id: "9", matter: "The part done at home" },
  { id: "10", matter: "Parts that are not exercise" },
  {
    id: "11",
    matter: "Adverse events during exercise",
    fill: (study) => (study.training.length ? harms(study) : undefined),
  },
  { id: "12", matter: "Place" },
  { id: "13", matter: "Dose: sets, repetitions, bouts, weeks", fill: dose },
  { id: "14a", matter: "The same for all, or fitted to the person" },
  { id: "14b", matter: "How it was fitted" },
  { id: "15", matter: "How the starting load was set" },
  { id: "16a", matter: "How it was checked that the plan was followed" },
  { id: "16b", matter: "How far the plan was followed", fill: delivered },
];

/** The items with what the record or the authors say; an author's statement comes first. */
export function filled(
  items: readonly ReportingItem[],
  guideline: string,
  study: ReportedStudy,
): FilledItem[] {
  return items.map(({ id, matter, fill }) => {
    const stated = study.statements[`${guideline} ${id}`];
    if (stated) return { id, matter, says: stated, from: "statement" };
    const says = fill?.(study);
    return { id, matter, says, from: says ? "record" : "missing" };
  });
}
