import { describe, expect, it } from "vitest";
import { gripTrials, inspect, participants, swingTrials, withLine } from "../small-study.js";

const voided = gripTrials.replace("1,28.0,kgf,valid", "1,28.0,kgf,void");

describe("the account of rows", () => {
  it("adds up in each file, with a count for each reason", () => {
    const { account } = inspect({
      gripTrials: withLine(
        voided,
        17,
        "042,w6,2025-02-18,right,address,55,D1,2,47.5,kgf,void,slipped",
      ),
    });
    const grip = account.find(({ file }) => file === "grip-trials.csv")!;
    expect(grip).toMatchObject({ resource: "grip-trials", rows: 16, used: 14 });
    expect(grip.setAside.reduce((sum, { rows }) => sum + rows, 0)).toBe(2);
    const swings = account.find(({ file }) => file === "swing-trials.csv")!;
    expect(swings).toMatchObject({ rows: 28, used: 28, setAside: [] });
  });
});

describe("a row set aside", () => {
  it("of the grip file has golfer, visit, hand, position, trial, value, unit and reason", () => {
    const { setAside } = inspect({ gripTrials: voided });
    expect(setAside).toMatchObject([
      {
        file: "grip-trials.csv",
        row: 2,
        participant: "007",
        occasion: "w0",
        what: "lead hand, address, trial 1",
        value: 28,
        unit: "kgf",
      },
    ]);
    expect(Object.isFrozen(setAside[0])).toBe(true);
  });

  it("names the trail hand, and a hand that cannot be told as the file writes it", () => {
    const trail = "007,w0,2025-01-06,right,address,50,D1,1,30.0,kgf,";
    const { setAside } = inspect({
      gripTrials: gripTrials.replace(`${trail}valid`, `${trail}void`),
    });
    expect(setAside.map(({ what }) => what)).toEqual(["trail hand, address, trial 1"]);
    const unknown = gripTrials.replace("007,w0,2025-01-06,left,", "007,w0,2025-01-06,,");
    expect(inspect({ gripTrials: unknown }).setAside[0]!.what).toBe("address, trial 1");
  });

  it("has no number where the number of the trial cannot be read", () => {
    const [row] = inspect({ gripTrials: gripTrials.replace("D1,1,28.0", "D1,x,28.0") }).setAside;
    expect(row).toMatchObject({ row: 2, what: "lead hand, address", value: 28, unit: "kgf" });
  });

  it("has no unit where its value cannot be read", () => {
    const [row] = inspect({ gripTrials: gripTrials.replace("1,28.0", "1,2x.0") }).setAside;
    expect(row).toMatchObject({ row: 2, value: null, unit: "", by: "error" });
  });

  it("of the swing file has club and swing, and no hand", () => {
    const { setAside } = inspect({ swingTrials: swingTrials.replace("valid", "void") });
    expect(setAside).toMatchObject([
      { file: "swing-trials.csv", row: 2, what: "driver, swing 1", unit: "m/s" },
    ]);
  });

  it("of the golfers' file has a code and nothing of a trial", () => {
    const twice = `${participants}007,grip,female,40,right\n`;
    const own = inspect({ participants: twice }).setAside.filter(
      ({ file }) => file === "participants.csv",
    );
    expect(own.length).toBeGreaterThan(0);
    for (const { participant, occasion, what, value, unit } of own) {
      expect({ participant, occasion, what, value, unit }).toEqual({
        participant: "007",
        occasion: "",
        what: "",
        value: null,
        unit: "",
      });
    }
  });
});
