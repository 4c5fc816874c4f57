import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { afterEach, describe, expect, it } from "vitest";
import { displayInKernel } from "../../lib/notebook/bridge.js";

const require = createRequire(import.meta.url);
const bundle = {
  data: { "text/plain": "2.6 kgf", "application/vnd.tautline.finding+json": { id: "lead" } },
  metadata: {},
};

/** The bridge leans on a part of tslab that is not public: an update has to pass here first. */
describe("the display bridge to tslab", () => {
  const kernel = require("tslab/dist/jupyter.js");
  afterEach(() => {
    kernel.lastWriteDisplayData = null;
  });

  it("is made for the one version that the project pins", () => {
    const pinned = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8"));
    expect(pinned.dependencies.tslab).toBe("1.0.22");
    expect(require("tslab/package.json").version).toBe("1.0.22");
    expect(kernel.lastWriteDisplayData).toBeNull();
  });

  it("sends all forms as one message, by the writer of the cell that runs", () => {
    const messages: unknown[] = [];
    kernel.lastWriteDisplayData = (...sent: unknown[]) => messages.push(["first cell", ...sent]);
    displayInKernel(bundle);
    kernel.lastWriteDisplayData = (...sent: unknown[]) => messages.push(["second cell", ...sent]);
    displayInKernel(bundle);
    const sent = { ...bundle, transient: {} };
    expect(messages).toEqual([
      ["first cell", sent, false],
      ["second cell", sent, false],
    ]);
  });
});
