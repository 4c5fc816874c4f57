import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { compareNotebooks } from "../../lib/notebook/compare.js";
import { parseNotebook } from "../../lib/notebook/nbformat.js";
import { hasNbclient, JupyterFolders, nbclientRun } from "../notebook/jupyter-peers.js";
import { type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";

const folder = resolve(fileURLToPath(import.meta.url), "../../../notebooks");
const names = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter(
  (name) => /^(?!learn\/|.*\.ipynb_checkpoints).+\.ipynb$/.test(name), // lessons get sliders there
);

describe.skipIf(!hasNbclient)("every notebook through nbclient (skipped: nbclient absent)", () => {
  let study: TemporaryStudy;
  let jupyter: JupyterFolders;
  beforeAll(async () => {
    study = temporaryStudy([]);
    jupyter = new JupyterFolders();
    await jupyter.register(study);
  });
  afterAll(() => {
    jupyter.remove();
    study.remove();
  });

  it.each(names)("%s gives the recorded results", (name) => {
    const path = join(folder, name);
    const run = nbclientRun(jupyter, path, dirname(path));
    expect(run.stderr).toBe("");
    const record = parseNotebook(readFileSync(path, "utf8"));
    const { judgements } = compareNotebooks(record, parseNotebook(run.stdout), {
      without: ["drawing"],
    });
    expect(judgements.filter(({ verdict }) => !/^(?:same|within)/.test(verdict))).toEqual([]);
  });
});
