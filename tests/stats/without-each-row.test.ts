import { describe, expect, it } from "vitest";
import { randomStream } from "../../lib/num/random.js";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { pairedChange } from "../../lib/stats/change.js";
import { withoutEachRow } from "../../lib/stats/without-each-row.js";
import { agrees } from "../reference/agree.js";

const same = { rel: 1e-9, why: "one fit downdated against one fit per row, both in doubles" };
const random = randomStream(4);
const people = Array.from({ length: 14 }, (_, i) => ({
  before: 30 + 8 * random.uniform(),
  trained: i % 2,
  after: 31 + 8 * random.uniform(),
}));
const column = (of: (one: (typeof people)[number]) => number) => people.map(of);

describe("an estimate without each row", () => {
  it("is the analysis of covariance made again without that golfer", () => {
    const ones = people.map(() => 1);
    const columns = [ones, column((p) => p.trained), column((p) => p.before)];
    const each = withoutEachRow(
      columns,
      column((p) => p.after),
      [0, 1, 0],
      0.95,
    );
    for (const [left, estimate] of each.entries()) {
      const rest = people.filter((_, i) => i !== left);
      const { difference } = adjustForBaseline({
        before: rest.map((p) => p.before),
        after: rest.map((p) => p.after),
        group: rest.map((p) => (p.trained ? "trained" : "control")),
        reference: "control",
      });
      agrees(estimate!.value, difference!.value, { quantity: "difference", ...same });
      agrees(estimate!.interval!.low, difference!.interval!.low, { quantity: "low", ...same });
      agrees(estimate!.interval!.high, difference!.interval!.high, { quantity: "high", ...same });
      expect(estimate!.df).toBe(difference!.df);
    }
  });

  it("of a mean change is the paired t test made again without that golfer", () => {
    const changes = column((p) => p.after - p.before);
    const each = withoutEachRow([people.map(() => 1)], changes, [1], 0.9);
    const rest = people.slice(1);
    const { change } = pairedChange(
      rest.map((p) => p.before),
      rest.map((p) => p.after),
      { level: 0.9 },
    );
    agrees(each[0]!.value, change.value, { quantity: "mean change", ...same });
    agrees(each[0]!.interval!.high, change.interval!.high, { quantity: "high", ...same });
  });

  it("is not made where the row alone holds up a coefficient", () => {
    const trained = [1, 0, 0, 0, 0];
    const each = withoutEachRow([[1, 1, 1, 1, 1], trained], [5, 1, 2, 3, 4], [0, 1], 0.95);
    expect(each.map((one) => one === null)).toEqual([true, false, false, false, false]);
  });

  it("is not made where no degree of freedom would be left", () => {
    expect(withoutEachRow([[1, 1]], [1, 2], [1], 0.95)).toEqual([null, null]);
  });
});
