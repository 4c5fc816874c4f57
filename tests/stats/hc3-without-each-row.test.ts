import { expect, it } from "vitest";
import { hc3WithoutEachRow } from "../../lib/stats/hc3-without-each-row.js";
import { fitLinear } from "../../lib/stats/linear-model.js";
import { agrees } from "../reference/agree.js";

// Invented values; each expectation is a whole new fit without the row.
const before = [31, 35.5, 40, 28.2, 45, 38.1, 52, 33, 36.4, 41.7];
const after = [33.1, 36, 43.5, 31, 44.2, 38.9, 55.1, 33.4, 35.9, 47];
const arm = ["b", "a", "b", "b", "a", "a", "b", "a", "a", "b"];
const columns = [before.map(() => 1), arm.map((id) => (id === "b" ? 1 : 0)), before];

it("agrees with HC3 errors of a new fit without each row", () => {
  const found = hc3WithoutEachRow(columns, after, [0, 1, 0], 0.9);
  expect(found).toHaveLength(10);
  for (const [i, one] of found.entries()) {
    const rest = <T>(column: readonly T[]) => column.filter((_, j) => j !== i);
    const fit = fitLinear(
      { y: rest(after), terms: { arm: rest(arm), before: rest(before) } },
      { standardErrors: "HC3", level: 0.9 },
    );
    const expected = fit.coefficients["arm:b"]!;
    const close = { rel: 1e-9, why: "the same formula, updated in place of fitted again" };
    agrees(one!.value, expected.value, { quantity: `value without ${i}`, ...close });
    agrees(one!.se!, expected.se!, { quantity: `error without ${i}`, ...close });
    agrees(one!.interval!.low, expected.interval!.low, { quantity: `limit ${i}`, ...close });
  }
});

it("has no error where leaving a row out leaves another alone in its arm", () => {
  const pair = ["b", "b", ...Array(8).fill("a")];
  const own = [columns[0]!, pair.map((id) => (id === "b" ? 1 : 0)), before];
  const found = hc3WithoutEachRow(own, after, [0, 1, 0], 0.95);
  expect(found.map((one) => one === null)).toEqual([true, true, ...Array(8).fill(false)]);
});
