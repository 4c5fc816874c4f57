import { describe, expect, it } from "vitest";
import { InputError } from "../lib/errors.js";
import { editDistance, knownOptions, nearestName } from "../lib/options.js";
import { changeStrip } from "../lib/show/change-strip.js";
import { claim } from "../lib/show/claim.js";
import { boxPlot, histogram } from "../lib/show/distribution.js";
import { figure } from "../lib/show/figure.js";
import { finding } from "../lib/show/finding.js";
import { forestPlot } from "../lib/show/forest.js";
import { groupLines } from "../lib/show/group-lines.js";
import { pairedDots } from "../lib/show/people.js";
import { forceSpeedPlane } from "../lib/show/plane.js";
import { rangeRows } from "../lib/show/ranges.js";
import { agreementPlot, fittedScatter } from "../lib/show/relation.js";
import { slopePlot } from "../lib/show/slope-plot.js";
import { specificationPlot } from "../lib/show/specification.js";
import { table } from "../lib/show/table.js";
import { recordPlan, recordPlanChange } from "../lib/study/plan/plan-record.js";
import { coachNine } from "../lib/study/simulate/demo.js";
import { inventStudy } from "../lib/study/simulate/simulate.js";

const names = ["rule", "least"];
const refusal = (options: unknown) => {
  try {
    knownOptions(options, names, "summariseGrip");
  } catch (error) {
    return error;
  }
  return undefined;
};

describe("options by name", () => {
  it.each([undefined, {}, { rule: "mean3" }, { rule: "mean3", least: 2 }])(
    "takes %j",
    (options) => {
      expect(refusal(options)).toBeUndefined();
    },
  );

  it("names the unknown option and the nearest known one", () => {
    expect(refusal({ rul: "mean3" })).toBeInstanceOf(InputError);
    expect(refusal({ rul: "mean3" })).toMatchObject({
      expected: "an option called rule",
      got: '"rul"',
      where: "summariseGrip, options",
    });
  });

  it("lists what is known where no name is near", () => {
    expect(refusal({ confidence: 0.9 })).toMatchObject({ expected: "options named rule, least" });
    expect(refusal({ ["x".repeat(1e6)]: 1 })).toMatchObject({
      expected: "options named rule, least",
    });
  });

  it.each([null, "mean3", 3, ["mean3"], () => 1])("refuses %j in the place of options", (value) => {
    expect(refusal(value)).toMatchObject({ expected: "an object of options (rule, least)" });
  });

  // Levenshtein (1966): kitten → sitting takes three edits, the textbook example.
  it("measures how far two names are apart", () => {
    expect(editDistance("kitten", "sitting")).toBe(3);
    expect(nearestName("verfy", ["rebuild", "verify"])).toBe("verify");
    expect(nearestName("x", ["rebuild", "verify"])).toBeUndefined();
  });
});

describe("functions that take one object refuse a name they do not know", () => {
  const scale = { quantity: "Grip", unit: "kgf" };
  const calls: [string, (given: object) => unknown][] = [
    ["finding", (given) => finding(given as never)],
    ["figure", (given) => figure(given as never)],
    ["table", (given) => table(given as never)],
    ["claim", (given) => claim(given as never)],
    ["forestPlot", (given) => forestPlot({ ...scale, rows: [], ...given })],
    ["pairedDots", (given) => pairedDots({ ...scale, arms: [], occasions: ["a", "b"], ...given })],
    ["changeStrip", (given) => changeStrip({ ...scale, groups: [], ...given })],
    ["fittedScatter", (given) => fittedScatter({ x: scale, y: scale, groups: [], ...given })],
    ["agreementPlot", (given) => agreementPlot(given as never)],
    ["slopePlot", (given) => slopePlot({ x: scale, y: scale, people: [], ...given })],
    ["boxPlot", (given) => boxPlot({ ...scale, groups: [], ...given })],
    ["histogram", (given) => histogram({ ...scale, values: [], counted: "golfers", ...given })],
    ["specificationPlot", (given) => specificationPlot({ ...scale, specifications: [], ...given })],
    ["forceSpeedPlane", (given) => forceSpeedPlane(given as never)],
    ["rangeRows", (given) => rangeRows({ ...scale, rows: [], ranges: "range", ...given })],
    ["groupLines", (given) => groupLines({ x: scale, y: scale, groups: [], ...given })],
    ["inventStudy", (given) => inventStudy({ ...coachNine, ...given })],
    ["recordPlan", (given) => recordPlan({}, {}, given as never)],
    ["recordPlanChange", (given) => recordPlanChange({}, given as never)],
  ];

  it.each(calls)("%s", (name, call) => {
    const words = new RegExp(`^${name}, options: expected options named .+, got "surprise"$`);
    expect(() => call({ surprise: 1 })).toThrow(words);
  });
});
