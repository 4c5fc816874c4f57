import { describe, expect, it } from "vitest";
import { InputError } from "../lib/errors.js";
import { editDistance, knownOptions, nearestName } from "../lib/options.js";

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
