import { itemAt, realAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { cholesky } from "../../num/linear.js";
import type { VisitCovariance } from "./visit-covariance.js";
import type { VisitProblem } from "./visit-groups.js";
import { seenFactor } from "./visit-likelihood.js";
import type { VisitRows } from "./visit-rows.js";
import type { VisitOptimum } from "./visit-search.js";

/** What the advice is when a free covariance is too much for the data. */
const SIMPLER = 'covariance "compound" or "ar1", which have two parameters';

/** A visit whose error given the other visits is this small a part of its variance has none left. */
const NOTHING_LEFT = 1e-9;

/**
 * Checks that visits and subjects suffice for a covariance of errors to be estimated at all.
 * @throws InputError for a single visit, fewer than 3 subjects, nobody seen twice, or, for an
 *   unstructured covariance, two visits that no subject has both of
 */
export function checkVisits(data: VisitRows, structure: VisitCovariance): void {
  const { visits, subjects, starts, visit } = data;
  if (visits.length < 2) {
    const got = `${visits.length}`;
    throw new InputError({ expected: "at least 2 visits", got, where: "fitVisits, visit" });
  }
  const together = new Uint8Array(visits.length ** 2);
  for (let i = 0; i < subjects.length; i++) {
    const seen = visit.subarray(itemAt(starts, i), itemAt(starts, i + 1));
    for (const j of seen) for (const k of seen) together[j * visits.length + k] = 1;
  }
  const apart = [...visits.keys()].flatMap((j) =>
    [...visits.keys()]
      .filter((k) => k < j && together[j * visits.length + k] === 0)
      .map((k) => [k, j]),
  );
  const [first] = apart;
  if (apart.length === (visits.length * (visits.length - 1)) / 2) {
    const expected = "subjects measured at two visits or more";
    throw new InputError({ expected, got: "none", where: "fitVisits, subject" });
  }
  if (structure !== "unstructured" || !first) return;
  const [one, other] = first.map((at) => `"${itemAt(visits, at)}"`);
  throw new InputError({
    expected: `subjects measured at both of any two visits, or ${SIMPLER}`,
    got: `no subject measured at visit ${one} and at visit ${other}`,
    where: "fitVisits, visit",
  });
}

/**
 * Checks that each visit has a spread of its own.
 * @throws InputError for a visit that the means fit without error, such as one subject per arm
 */
export function checkSpread({ visits, starts, visit }: VisitRows, problem: VisitProblem): void {
  const squares = new Float64Array(visits.length);
  for (let row = 0; row < itemAt(starts, starts.length - 1); row++) {
    const at = itemAt(visit, row);
    squares[at] = realAt(squares, at) + realAt(problem.outcome.residual, row) ** 2;
  }
  const most = Math.max(...squares);
  const exact = squares.findIndex((sum) => !(sum > NOTHING_LEFT * NOTHING_LEFT * most));
  if (exact < 0) return;
  throw new InputError({
    expected: `a spread at each visit, or ${SIMPLER}`,
    got: `visit "${itemAt(visits, exact)}", whose values the means fit without error (too few subjects)`,
    where: "fitVisits, y",
  });
}

/**
 * Looks whether the search ended inside, on an edge of what Σ can be, or fell without end.
 * @throws InputError when the likelihood has no maximum: too few subjects for so free a covariance
 */
export function edgeOf(
  problem: VisitProblem,
  found: VisitOptimum | undefined,
  structure: VisitCovariance,
  subjects: number,
) {
  if (!found || endless(problem, found)) {
    throw new InputError({
      expected:
        structure === "unstructured"
          ? `enough subjects and variation for a free covariance of ${problem.visits} visits, or ${SIMPLER}`
          : "outcomes that vary around the means of arms and visits",
      got: `${subjects} subjects whose errors determine each other, so that the likelihood has no maximum`,
      where: "fitVisits, y",
    });
  }
  const all = Array.from({ length: problem.visits }, (_, v) => v);
  const singular = degenerate(problem, found.sigma, all);
  const warnings = singular
    ? [
        "singular fit: the errors of some visits determine that of another, on the edge of what a " +
          "covariance can be; nobody was measured at all of these visits. Consider " +
          `${SIMPLER}.`,
      ]
    : [];
  if (!found.converged && !singular) {
    warnings.push("the search stopped before the likelihood reached its maximum");
  }
  return { optimum: found, singular, warnings };
}

/** Whether the likelihood rises for ever: somebody's errors determine each other, or nearly. */
function endless(problem: VisitProblem, { sigma, converged, information }: VisitOptimum): boolean {
  if (problem.groups.some(({ visits }) => degenerate(problem, sigma, visits))) return true;
  const all = Array.from({ length: problem.visits }, (_, v) => v);
  if (converged || degenerate(problem, sigma, all)) return false;
  return !cholesky(information.hessian, information.gradient.length);
}

/** Whether the error at some visit of a pattern is determined by those at the others. */
function degenerate(
  { visits: size }: VisitProblem,
  sigma: Float64Array,
  visits: readonly number[],
): boolean {
  const factor = seenFactor(sigma, size, visits);
  if (!factor) return true;
  return visits.some((visit, j) => {
    const left = realAt(factor, j * visits.length + j) ** 2;
    return !(left > NOTHING_LEFT * realAt(sigma, visit * size + visit));
  });
}
