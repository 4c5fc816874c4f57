import { itemAt } from "../entry.js";
import { mean, sum, sumOfSquaredDeviations } from "../num/sums.js";
import type { Arm } from "./baseline-arms.js";
import type { StandardErrors } from "./robust.js";

/** What the warnings of a comparison adjusted for baseline depend on beside the data. */
interface WarningInput {
  readonly reference: string;
  readonly standardErrors: StandardErrors;
  readonly randomised: boolean | undefined;
}

/** Spread and size of the arms may differ by this factor before ordinary errors are doubted. */
const LARGEST_RATIO = 1.5;
/** Arms this many SDs apart at baseline are adjusted a long way, which needs randomised arms. */
const LARGEST_GAP = 1;

/** What puts a comparison adjusted for baseline in doubt: measured value, limit, consequence. */
export function baselineWarnings(
  arms: readonly Arm[],
  residuals: Float64Array,
  group: readonly string[],
  input: WarningInput,
): string[] {
  return [
    ...arms.filter((arm) => arm.x.length === 1).map(loneWarning),
    ...overlapWarnings(arms, input.reference),
    ...spreadWarnings(arms, residuals, group, input.standardErrors),
    ...allocationWarnings(arms, input),
  ];
}

function loneWarning({ name }: Arm): string {
  return (
    `arm ${name} has 1 person (at least 2 are needed to see a spread): its difference is one ` +
    "person's value, and its interval takes the spread of the other arms for it"
  );
}

function overlapWarnings(arms: readonly Arm[], reference: string): string[] {
  const span = ({ x }: Arm) =>
    [x.reduce((a, b) => Math.min(a, b)), x.reduce((a, b) => Math.max(a, b))] as const;
  const from = arms.find((arm) => arm.name === reference);
  if (!from) return [];
  const [low, high] = span(from);
  return arms.flatMap((arm) => {
    const [least, most] = span(arm);
    if (arm === from || (least <= high && most >= low)) return [];
    return [
      `no overlap at baseline: ${arm.name} has ${plain(least)} to ${plain(most)}, ` +
        `${reference} ${plain(low)} to ${plain(high)}. Their difference rests on extending the ` +
        "fitted line beyond the data of both",
    ];
  });
}

function spreadWarnings(
  arms: readonly Arm[],
  residuals: Float64Array,
  group: readonly string[],
  standardErrors: StandardErrors,
): string[] {
  if (standardErrors !== "ordinary") return [];
  const measured = arms
    .map(({ name, x }) => {
      const residualsInArm = residuals.filter((_, row) => group[row] === name);
      const squares =
        residualsInArm.length > 1
          ? sumOfSquaredDeviations(residualsInArm, mean(residualsInArm))
          : 0;
      return { name, n: x.length, sd: Math.sqrt(squares / Math.max(1, residualsInArm.length - 1)) };
    })
    .filter(({ n }) => n > 1)
    .sort((a, b) => b.sd - a.sd);
  if (measured.length < 2) return [];
  const [widest, narrowest] = [itemAt(measured, 0), itemAt(measured, measured.length - 1)];
  const ratio = widest.sd / narrowest.sd;
  const sizes = Math.max(widest.n, narrowest.n) / Math.min(widest.n, narrowest.n);
  if (!(ratio > LARGEST_RATIO && ratio < Number.POSITIVE_INFINITY) || sizes < LARGEST_RATIO) {
    return [];
  }
  const narrow = widest.n < narrowest.n;
  return [
    `unequal spread with unequal numbers: the residual SD of ${widest.name} (n ${widest.n}) is ` +
      `${ratio.toFixed(1)} times that of ${narrowest.name} (n ${narrowest.n}); the limit is ` +
      `${LARGEST_RATIO}. Ordinary intervals are then too ${narrow ? "narrow" : "wide"}; use ` +
      "standardErrors HC3",
  ];
}

function allocationWarnings(
  arms: readonly Arm[],
  { reference, randomised }: WarningInput,
): string[] {
  const from = arms.find((arm) => arm.name === reference);
  const df = sum(arms.map((arm) => arm.x.length - 1));
  const sd = Math.sqrt(sum(arms.map((arm) => arm.xx)) / df);
  if (!from || randomised === true || !(sd > 0)) return [];
  return arms.flatMap((arm) => {
    const gap = Math.abs(arm.xMean - from.xMean) / sd;
    if (arm === from || (randomised === undefined && gap <= LARGEST_GAP)) return [];
    const measured = `${arm.name} and ${reference} differ by ${gap.toFixed(1)} SD at baseline`;
    return [
      randomised === false
        ? `arms not randomised: ${measured}. Measurement error in the baseline leaves part of that ` +
          "in the adjusted difference, which its interval does not cover"
        : `${measured} (limit ${LARGEST_GAP}). If the arms were not randomised, measurement error in ` +
          "the baseline leaves part of that in the adjusted difference",
    ];
  });
}

function plain(x: number): string {
  return String(Number(x.toPrecision(4)));
}
