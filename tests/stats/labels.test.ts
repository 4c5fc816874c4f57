import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.js";
import { fitMixed } from "../../lib/stats/mixed/mixed.js";
import { subjectSlopes } from "../../lib/stats/slopes.js";

describe("labels of subjects", () => {
  const codes = [7, 7, 7, 12, 12, 12, 3, 3, 3];
  const x = [0, 1, 2, 0, 1, 2, 0, 1, 2];
  const y = [40, 41, 43, 35, 35.5, 37, 50, 50.4, 52];
  const text = codes.map(String);

  it("whole numbers stand for text", () => {
    expect(subjectSlopes(codes, x, y)).toEqual(subjectSlopes(text, x, y));
    const fit = fitMixed({ subject: codes, y, terms: { x } });
    expect(fit).toEqual(fitMixed({ subject: text, y, terms: { x } }));
    expect(fit.perSubject.map(({ subject }) => subject)).toEqual(["7", "12", "3"]);
  });

  it.each([1.5, Number.NaN, Infinity, null, undefined, true])("%s is no label", (label) => {
    const wrong = [...codes.slice(1), label] as number[];
    expect(() => subjectSlopes(wrong, x, y)).toThrow(InputError);
    expect(() => fitMixed({ subject: wrong, y })).toThrow(/text or a whole number/);
  });
});
