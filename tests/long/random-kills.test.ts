import { describe, expect, it } from "vitest";
import { randomKills } from "../notebook/random-kills.js";
import { temporaryStudy } from "../notebook/temporary-study.js";

describe("two hundred kills at random moments", () => {
  it("damage no file and leave no process, socket, lock or half-written file", async () => {
    const study = temporaryStudy(["prints-a-number", "writes-to-stderr", "states-two-findings"]);
    const told = await randomKills(study, { kills: 200, seed: 2026 });
    expect(told).toEqual({ kills: 200, damaged: [], orphans: [], sockets: [], temporaries: [] });
    study.remove();
  });
});
