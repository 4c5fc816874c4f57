import { InputError } from "../errors.js";
import { equivalence } from "../stats/equivalence.js";
import { type Answer, answer, singleAnswers } from "./study-answer.js";

/** What counts as no difference: a number in the unit of the answer, or the plan's values. */
export type WorthwhileBound = number | Readonly<Record<string, number>> | undefined;

/**
 * An answer against the smallest worthwhile change, both ways: do the data show that the
 * true value is smaller (two one-sided tests of equivalence), or that it is larger (one one-sided test
 * of superiority)?
 * Neither may be shown: the interval may be too wide for both. The p values carry no range for
 * golfers left out: that of the answer itself, in its own unit, shows how close it comes to the bound.
 * @param given an answer with a standard error, such as `compareArms(change)`
 * @param bound `study.plan.smallestWorthwhile`, or a number above 0 in the unit of the answer
 * @returns two p values per single answer
 * @throws InputError when the bound is not above 0
 * @see Schuirmann (1987) J Pharmacokinet Biopharm 15:657–680
 * @example equivalenceOf(compareArms(openStudy("winter-block").primary.change()), 1.5).parts.length // 2
 */
export function equivalenceOf(given: Answer, bound: WorthwhileBound): Answer {
  const singles = singleAnswers(given).filter(({ quantity }) => quantity !== "test");
  const parts = singles.flatMap((single) => testsOf(single, bound));
  const { estimate: _, unanswered: __, leaveOneOut: ___, part: ____, ...rest } = given;
  const common = { ...rest, kind: "equivalenceOf", quantity: "test", unit: "" } as const;
  const [only] = parts;
  return parts.length === 1 && only ? only : answer({ ...common, references: [], parts });
}

function testsOf(single: Answer, bound: WorthwhileBound): Answer[] {
  const { estimate, leaveOneOut: _, references: __, unanswered, ...rest } = single;
  const common = {
    ...rest,
    kind: "equivalenceOf",
    quantity: "test",
    unit: "",
    references: [],
  } as const;
  const size = sizeOf(bound, single);
  const why =
    unanswered ??
    (size === undefined
      ? "The plan names no smallest worthwhile change for this outcome."
      : !estimate?.se
        ? "The estimate has no standard error above 0, which a test against a bound needs."
        : undefined);
  if (why !== undefined || size === undefined || estimate?.se === undefined) {
    return [answer({ ...common, unanswered: why ?? "There is no estimate to test." })];
  }
  const { p, pHigh, method } = equivalence(estimate, { low: -size, high: size });
  const within = `${size} ${single.unit}`.trim();
  const prefix = single.part === undefined ? "" : `${single.part}-`;
  const superior = 1 - pHigh;
  return [
    answer({
      ...common,
      part: `${prefix}equivalence`,
      aspect: `equivalence within ± ${within}`,
      estimate: { value: p, p },
      method,
    }),
    answer({
      ...common,
      part: `${prefix}superiority`,
      aspect: `superiority by more than ${within}`,
      estimate: { value: superior, p: superior },
      method: method.replace("two one-sided tests", "one one-sided test"),
    }),
  ];
}

function sizeOf(bound: WorthwhileBound, { measure, unit }: Answer): number | undefined {
  const named = measure.outcome === "grip" ? "grip_kgf" : "speed_mph";
  const size = typeof bound === "number" ? bound : unit === "%" ? undefined : bound?.[named];
  if (size === undefined || (Number.isFinite(size) && size > 0)) return size;
  throw new InputError({
    expected: "a bound above 0",
    got: `${size}`,
    where: "equivalenceOf, bound",
  });
}
