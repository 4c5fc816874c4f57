import { present } from "../entry.js";
import { type Markup, markup, proseHtml } from "../markup.js";
import { knownOptions } from "../options.js";
import { display, mimeTypes, type ReadableForms } from "./display.js";
import type { Finding } from "./finding.js";
import { claimSchema } from "./output-schemas.js";
import { finite, identifier, refuse } from "./record.js";
import { outputRecord } from "./schema.js";
import { decimalsFor, percentLevel, rounderFor, withUnit } from "./wording.js";

/** The yardsticks a change is held against; a finding carries their values in `versus`. */
const heldAgainstNames = ["typical error", "mdc95", "worthwhile"] as const;
/** Reference values that a claim may name, beside zero. */
export type HeldAgainstName = (typeof heldAgainstNames)[number];

/** A sentence, the finding behind it, and what the sentence needs of the finding. */
export interface ClaimInput {
  /** The sentence a person wants to write. */
  readonly says: string;
  /** The finding that is to carry it. */
  readonly finding: Finding;
  /** Names the claim in the record; the finding's id with "-claim" unless given. */
  readonly id?: string | undefined;
  /** The sentence needs the value to be at least this, in the finding's unit. */
  readonly atLeast?: number | undefined;
  /** The sentence needs the value to be at most this. */
  readonly atMost?: number | undefined;
  /** The sentence needs the value to differ from zero. */
  readonly excludesZero?: boolean | undefined;
  /** The sentence needs the size of the value to exceed this yardstick of the finding. */
  readonly exceeds?: HeldAgainstName | undefined;
}

/** Whether every value, no value, or only some values in the interval agree with the sentence. */
export type Support = "supported" | "contradicted" | "not settled";

/** A candidate conclusion with what the finding supports. */
export interface Claim {
  /** Kind of the output. */
  readonly kind: "claim";
  /** Names the claim in the record. */
  readonly id: string;
  /** The sentence as given. */
  readonly says: string;
  /** Id of the finding behind it. */
  readonly finding: string;
  /** Whether the finding supports the whole sentence. */
  readonly support: Support;
  /** Each condition of the sentence with its own verdict. */
  readonly conditions: readonly { readonly needs: string; readonly support: Support }[];
  /** The strongest sentence of this form that the interval does support. */
  readonly strongest: string;
  /** How the conditions were judged, in a phrase. */
  readonly method: string;
}

interface Limits {
  readonly low: number;
  readonly high: number;
}

/** A region of the number line: the union of one or two half-lines. */
interface Condition {
  readonly needs: string;
  readonly from?: number;
  readonly to?: number;
}

function judged(limits: Limits, parts: readonly Condition[]): Support {
  const inside = ({ from = -Infinity, to = Infinity }: Condition) =>
    limits.low >= from && limits.high <= to;
  const apart = ({ from = -Infinity, to = Infinity }: Condition) =>
    limits.high < from || limits.low > to;
  if (parts.some(inside)) return "supported";
  return parts.every(apart) ? "contradicted" : "not settled";
}

/** Away from zero by more than `size` on either side; the ends themselves do not count. */
function beyond(size: number): Condition[] {
  const after = size === 0 ? Number.MIN_VALUE : size * (1 + Number.EPSILON);
  return [
    { needs: "", from: after },
    { needs: "", to: -after },
  ];
}

function yardstick(finding: Finding, name: HeldAgainstName, where: string): number {
  const found = finding.versus?.find((item) => item.says === name);
  if (!found) {
    refuse(
      `a finding whose versus holds "${name}"`,
      finding.versus?.map((v) => v.says),
      where,
    );
  }
  return Math.abs(present(found).value);
}

interface Asked {
  readonly needs: string;
  readonly parts: readonly Condition[];
}

function asked(input: ClaimInput, write: (value: number) => string, where: string): Asked[] {
  const { finding, atLeast, atMost, excludesZero, exceeds } = input;
  const wanted: Asked[] = [];
  if (atLeast !== undefined) {
    const from = finite(atLeast, `${where}, atLeast`);
    wanted.push({ needs: `at least ${write(from)}`, parts: [{ needs: "", from }] });
  }
  if (atMost !== undefined) {
    const to = finite(atMost, `${where}, atMost`);
    wanted.push({ needs: `at most ${write(to)}`, parts: [{ needs: "", to }] });
  }
  if (excludesZero) wanted.push({ needs: "different from zero", parts: beyond(0) });
  if (exceeds !== undefined) {
    const size = yardstick(finding, exceeds, `${where}, exceeds`);
    wanted.push({ needs: `larger than the ${exceeds} of ${write(size)}`, parts: beyond(size) });
  }
  if (wanted.length === 0) {
    refuse("a condition: atLeast, atMost, excludesZero or exceeds", "none", where);
  }
  return wanted;
}

function overall(conditions: readonly { support: Support }[]): Support {
  if (conditions.some((item) => item.support === "contradicted")) return "contradicted";
  return conditions.every((item) => item.support === "supported") ? "supported" : "not settled";
}

/** A bound that a sentence leans on is rounded down, so that the words never say more than the data. */
function towardsZero(size: number, error: number): number {
  if (error === 0) return size;
  const step = 10 ** -decimalsFor(error);
  const kept = Math.floor(size / step + 1e-9) * step;
  return kept > 0 ? kept : size;
}

/** The bound nearest zero is the most a sentence about size may say. */
function strongestSentence(finding: Finding, { low, high }: Limits): string {
  const write = (value: number) => withUnit(rounderFor(finding)(value), finding.unit);
  const least = (size: number) => write(towardsZero(size, (high - low) / 2));
  const level = percentLevel(finding.level ?? 0.95);
  const name = finding.says.trim().replace(/:$/, "");
  if (low > 0) return `${name} is above zero, by at least ${least(low)} (${level} interval).`;
  if (high < 0) return `${name} is below zero, by at least ${least(-high)} (${level} interval).`;
  return `${name} may lie anywhere from ${write(low)} to ${write(high)}; its direction is not shown (${level} interval).`;
}

const heads: Readonly<Record<Support, string>> = {
  supported: "The evidence supports",
  contradicted: "The evidence speaks against",
  "not settled": "The evidence does not settle",
};

/**
 * Holds a sentence that somebody wants to write against a finding: supported when the whole
 * interval agrees with it, contradicted when none of it does, otherwise not settled. It also gives
 * the strongest sentence of that kind which the interval does support.
 *
 * The judgement is about this interval at its level only: it knows nothing of bias, of how the
 * finding was chosen, or of the cause.
 * @throws InputError when the finding has no interval, no condition is given, or `exceeds` names a
 *   yardstick that the finding's `versus` does not hold
 * @example claim({ says: "Grip rose by 3 kgf or more.", atLeast: 3, finding: finding({ id: "g", says: "Change of grip", value: 2.6, low: 1.9, high: 3.4, unit: "kgf", n: 24, method: "paired t" }) }).support // "not settled"
 */
export function claim(input: ClaimInput): Claim {
  if (input === null || typeof input !== "object") refuse("a record", input, "claim");
  knownOptions(
    input,
    ["says", "finding", "id", "atLeast", "atMost", "excludesZero", "exceeds"],
    "claim",
  );
  const { finding } = input;
  if (finding?.kind !== "finding") refuse("a finding", finding, "claim, finding");
  const id = identifier(input.id ?? `${finding.id}-claim`, "claim, id");
  const where = `claim ${id}`;
  if (finding.low === undefined || finding.high === undefined) {
    refuse("a finding with an interval", finding.id, `${where}, finding`);
  }
  const limits = { low: present(finding.low), high: present(finding.high) };
  const write = (value: number) => withUnit(rounderFor(finding)(value), finding.unit);
  const conditions = asked(input, write, where).map(({ needs, parts }) => ({
    needs,
    support: judged(limits, parts),
  }));
  const claimRecord = {
    kind: "claim",
    id,
    says: input.says,
    finding: finding.id,
    support: overall(conditions),
    conditions,
    strongest: strongestSentence(finding, limits),
    method: `the ${percentLevel(finding.level ?? 0.95)} interval of ${finding.id} against each condition`,
  };
  const record = outputRecord(claimSchema, claimRecord, where);
  const forms = claimForms(record);
  display({
    [mimeTypes.claim]: record,
    [mimeTypes.html]: forms.html,
    [mimeTypes.plain]: forms.plain,
  });
  return record;
}

/** How a reader meets a claim, from the record alone. */
export function claimForms(record: Claim): ReadableForms {
  return { html: String(claimHtml(record)), plain: claimText(record) };
}

function claimText(record: Claim): string {
  const reasons = record.conditions.map(({ needs, support }) => `${needs}: ${support}`).join("; ");
  return `${heads[record.support]} “${record.says}” (${reasons}). What it supports: ${record.strongest}`;
}

function claimHtml(record: Claim): Markup {
  return markup`<p data-claim="${record.id}">${proseHtml(claimText(record))}</p>`;
}
