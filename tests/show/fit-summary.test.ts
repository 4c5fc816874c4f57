import { describe, expect, it } from "vitest";
import { isFit, summaryText } from "../../lib/show/fit-summary.js";
import { allometricExponent } from "../../lib/stats/allometry.js";
import { adjustForBaseline } from "../../lib/stats/baseline.js";
import { fitDeming } from "../../lib/stats/deming.js";
import { fitRobust } from "../../lib/stats/huber.js";
import { fitLinear } from "../../lib/stats/linear-model.js";
import { fitMixed } from "../../lib/stats/mixed/mixed.js";
import { fitPassingBablok } from "../../lib/stats/passing-bablok.js";
import { pool } from "../../lib/stats/pool/pool.js";
import { quantileLine } from "../../lib/stats/quantile-line.js";
import { fitLine } from "../../lib/stats/regression.js";
import { theilSen } from "../../lib/stats/theil-sen.js";
import { referenceCase } from "../reference/cases.js";

const { data } = referenceCase("contrasts", "ergoStool_gaps");

describe("summaryText", () => {
  it("is a table with aligned columns, then the spread", () => {
    const { Subject: subject, effort: y, Type } = data;
    expect(summaryText(fitMixed({ subject, y, terms: { Type } }))).toBe(
      [
        "fitMixed: 30 rows, 9 subjects, REML",
        "",
        "           estimate    SE    df      t        p  95 % CI from    to",
        "intercept      8.38  0.63  15.7  13.30  < 0.001          7.04  9.71",
        "Type:T2        4.12  0.59  18.5   6.94  < 0.001          2.87  5.36",
        "Type:T3        2.69  0.58  18.1   4.66  < 0.001          1.48  3.91",
        "Type:T4        0.85  0.55  18.1   1.55    0.138         −0.30  1.99",
        "SD of intercepts 1.421; residual SD 1.059; log-likelihood −50.03",
      ].join("\n"),
    );
  });

  it("writes every fit, its level and its warnings, also after a trip through JSON", () => {
    const x = [1, 2, 3, 4, 6];
    const y = [2, 4, 5, 9, 8];
    const fits = [
      fitLine({ x, y }, { level: 0.9 }),
      fitDeming({ x, y }),
      fitLinear({ y, terms: { x } }, { standardErrors: "HC0" }),
    ];
    for (const fit of fits) {
      expect(isFit(fit)).toBe(true);
      expect(summaryText(JSON.parse(JSON.stringify(fit)))).toBe(summaryText(fit));
    }
    expect(summaryText(fits[0]!)).toMatch(/90 % CI from/);
    expect(summaryText(fits[2]!).split("\n").at(-1)).toMatch(/^Note: HC0 .* from 5 rows/);
  });

  it("writes lines by other rules than least squares", () => {
    const columns = { x: [1, 2, 3, 4, 6, 7], y: [2, 4, 5, 9, 8, 12] };
    const lines = [fitRobust, theilSen, fitPassingBablok].map((robust) => robust(columns));
    for (const line of [...lines, quantileLine(columns, { q: 0.5 })]) {
      expect(isFit(line)).toBe(true);
      expect(summaryText(line)).toMatch(/^intercept +−?\d[\s\S]*^slope +1\.\d/m);
      expect(summaryText(line)).not.toMatch(/NaN|undefined|Infinity/);
    }
  });

  it("writes differences adjusted for baseline, with the arms they are of", () => {
    const before = [1, 2, 3, 2, 3, 4];
    const after = [2, 3, 4.5, 5, 6, 6.5];
    const group = ["c", "c", "c", "t", "t", "t"];
    const adjusted = adjustForBaseline({ before, after, group, reference: "c" });
    expect(isFit(adjusted)).toBe(true);
    const text = summaryText(adjusted);
    expect(text).toMatch(/^adjustForBaseline: 6 people, /);
    expect(text).toMatch(/^t − c +1\.667 /m);
    expect(text).toMatch(/^slope on before +1\.000 /m);
  });

  it("writes an allometric exponent and the one it is compared with", () => {
    // Round sizes: y = 2·mass^(2/3) but for small departures.
    const scaled = allometricExponent({ mass: [1, 8, 27, 64], y: [2.1, 7.9, 18.2, 31.5] });
    expect(isFit(scaled)).toBe(true);
    expect(summaryText(scaled)).toMatch(
      /^allometricExponent: 4 people[\s\S]*^exponent +0\.6\d[\s\S]*^factor +[\d.]+ [\s\S]*compared with an exponent of 0\.667: p = /m,
    );
  });

  it("writes the mean effect of a pool, its heterogeneity and its prediction interval", () => {
    const pooled = pool({ estimate: [1, 2, 6], se: [1, 1, 1] });
    expect(isFit(pooled)).toBe(true);
    expect(summaryText(pooled)).toMatch(
      /^pool: 3 studies[\s\S]*^mean effect +3\.0\d*[\s\S]*τ² 6\.000; I² 85\.7 %; 95 % prediction interval −/m,
    );
    expect(summaryText(JSON.parse(JSON.stringify(pooled)))).toBe(summaryText(pooled));
  });

  it("leaves out what a perfect fit does not have", () => {
    const line = fitLine({ x: [1, 2, 3, 4], y: [2, 4, 6, 8] });
    expect(summaryText(line)).not.toMatch(/NaN|undefined|Infinity/);
  });

  it("knows a fit from other values", () => {
    for (const value of [
      undefined,
      null,
      3,
      "fit",
      [],
      {},
      { kind: "fitLine", n: 3 },
      { covariance: 1 },
    ]) {
      expect(isFit(value)).toBe(false);
    }
  });
});
