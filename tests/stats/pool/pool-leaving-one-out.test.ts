import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { poolLeavingOneOut } from "../../../lib/stats/pool/pool-leaving-one-out.js";
import { agrees } from "../../reference/agree.js";
import { referenceCase } from "../../reference/cases.js";

const searched = { rel: 1e-8, why: "R's REML search stops at a step of 1e-12 in τ²" };

describe("pooling without each of the 13 BCG trials", () => {
  const { data } = referenceCase("pool", "bcg");
  const { computed } = referenceCase("pool-without", "bcg");
  const columns = {
    estimate: data.logRR_yi,
    se: data.logRR_vi.map(Math.sqrt),
    label: data.author_year,
  };

  it.each([
    ["reml", false],
    ["hartung_knapp", true],
  ] as const)("gives R's %s", (name, hartungKnapp) => {
    const found = poolLeavingOneOut(columns, { hartungKnapp });
    const wanted = computed[name]!.value;
    for (const [i, { label, estimate, tau2, i2 }] of found.rows.entries()) {
      expect(label).toBe(data.author_year[i]);
      agrees(estimate.value, wanted.estimate[i], { quantity: `without ${label}`, ...searched });
      agrees(estimate.se!, wanted.se[i], { quantity: `se without ${label}`, ...searched });
      agrees(estimate.interval!.low, wanted["ci.lb"][i], { quantity: "low", ...searched });
      agrees(estimate.interval!.high, wanted["ci.ub"][i], { quantity: "high", ...searched });
      agrees(tau2, wanted.tau2[i], { quantity: `tau2 without ${label}`, ...searched });
      agrees(i2, wanted.I2[i], { quantity: `I2 without ${label}`, ...searched });
    }
    expect(found.changesConclusion).toEqual([]);
    expect(found.low).toBe(found.rows[7]!.estimate.value);
    expect(found.high).toBe(found.rows[3]!.estimate.value);
  });
});

it("pools correlations without each of 16, on the r scale", () => {
  const { data } = referenceCase("pool", "molloy2014");
  const { reml_z } = referenceCase("pool-without", "molloy2014").computed;
  const found = poolLeavingOneOut({ r: data.ri, n: data.ni });
  for (const [i, { estimate, tau2 }] of found.rows.entries()) {
    agrees(estimate.value, Math.tanh(reml_z!.value.estimate[i]), { quantity: "r", ...searched });
    agrees(tau2, reml_z!.value.tau2[i], { quantity: "tau2", ...searched });
  }
});

it("names the study that carries the verdict, and refuses two studies", () => {
  const found = poolLeavingOneOut(
    { estimate: [5, 0.1, 0.2], se: [1, 1, 1], label: ["A", "B", "C"] },
    { method: "common" },
  );
  expect(found.changesConclusion).toEqual(["A"]);
  expect(() => poolLeavingOneOut({ estimate: [1, 2], se: [1, 1] })).toThrow(InputError);
});
