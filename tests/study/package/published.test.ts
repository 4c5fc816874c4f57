import { describe, expect, it } from "vitest";
import { InputError } from "../../../lib/errors.js";
import { publishedTable } from "../../../lib/study/package/published.js";
import { agrees } from "../../reference/agree.js";

const number = (value: unknown) => value as number;

describe("published tables", () => {
  it.each([
    ["correlations", 30],
    ["pooled-correlations", 11],
    ["training-effects", 9],
    ["speed-lines", 1],
    ["skin-friction", 13],
    ["norms-tomkinson2025", 34],
    ["norms-steiber2016-height", 195],
    ["norms-steiber2016-age", 28],
    ["norms-anchors", 6],
    ["nhanes-grip-ranges", 7],
    ["nhanes-grip-categories", 26],
    ["club-pull-worked", 5],
  ])("%s has %i rows, provenance, sources and described columns", (name, count) => {
    const table = publishedTable(name);
    expect(table.rows.length).toBe(count);
    expect(table.provenance.join(" ").length).toBeGreaterThan(60);
    expect(table.sources.length).toBeGreaterThan(0);
    for (const { description } of table.columns) expect(description).not.toBe("");
    expect(JSON.parse(JSON.stringify(table))).toEqual(table);
  });

  it("an unprinted correlation is null, never 0; a quoted comma stays in its cell", () => {
    const rows = publishedTable("correlations").rows.filter(({ study }) => study === "Hellstrom");
    expect(rows.find(({ predictor }) => predictor === "left grip strength")!.r).toBeNull();
    const effects = publishedTable("training-effects").rows;
    expect(effects.some(({ other }) => String(other).includes("carry +7.7 %, total +6.8 %"))).toBe(
      true,
    );
  });

  it("pooled z of 0.48 (0.28 to 0.68) is r 0.446 (0.273 to 0.592): tanh, as the table has it", () => {
    for (const row of publishedTable("pooled-correlations").rows) {
      const back = (z: unknown) => (row.scale === "Fisher's z" ? Math.tanh(number(z)) : number(z));
      for (const [z, r] of [
        ["estimate", "as_r"],
        ["ci_low", "as_r_low"],
        ["ci_high", "as_r_high"],
      ]) {
        const printed = number(row[r!]);
        const rel = 5.1e-4 / Math.abs(printed);
        const quantity = `${row.category}, ${r}`;
        agrees(back(row[z!]), printed, { quantity, rel, why: "three printed decimals" });
      }
    }
  });

  it("only rows of hand grip against club-head speed with a printed r may be pooled as such", () => {
    const rows = publishedTable("correlations").rows;
    const usable = rows.filter((row) => row.use_for_grip_chs_pool === "yes");
    expect(usable.length).toBe(1);
    expect(usable[0]).toMatchObject({ n: 16, r: 0.54, outcome: "CHS" });
  });

  it("questionable effort and handedness of the US survey: 259 of 7,170 and 617 of 7,177", () => {
    const rows = publishedTable("nhanes-grip-categories").rows;
    const count = (variable: string, code: string) =>
      number(rows.find((row) => row.variable === variable && row.code === code)!.count);
    const effort = count("MGXH1T1E", "2") / (count("MGXH1T1E", "1") + count("MGXH1T1E", "2"));
    agrees(effort, 0.036, {
      quantity: "questionable effort",
      rel: 5e-3,
      why: "two printed digits",
    });
    const hands = ["1", "2", "3"].map((code) => count("MGD130", code));
    expect(hands.reduce((sum, one) => sum + one, 0)).toBe(7177);
    agrees(hands[1]! / 7177, 0.086, {
      quantity: "left-handed",
      rel: 5e-3,
      why: "two printed digits",
    });
  });

  it("names the tables there are when asked for another", () => {
    expect(() => publishedTable("norms")).toThrow(InputError);
    expect(() => publishedTable("norms")).toThrow(/norms-tomkinson2025/);
    expect(() => publishedTable("__proto__")).toThrow(InputError);
  });
});
