import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readNotebooks } from "../../lib/report/recorded.js";
import { chosenNotebooks, notebookPaths } from "../../lib/workspace/notebook-files.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";

describe("the notebooks of a study repository", () => {
  let study: TemporaryStudy;
  beforeAll(() => {
    study = temporaryStudy([]);
    for (const name of [
      "notebooks/10-late.ipynb",
      "notebooks/9-early.ipynb",
      "notebooks/.hidden/9.ipynb",
      "data/spring/first-look.ipynb",
      "data/loose.ipynb",
    ]) {
      study.write(name, notebookOf("1"));
    }
  });
  afterAll(() => study.remove());

  it("are the same for the commands and for the report, in the order of their numbers", () => {
    const chosen = chosenNotebooks([], study.root, study.root);
    expect(chosen).toEqual([
      "notebooks/9-early.ipynb",
      "notebooks/10-late.ipynb",
      "data/spring/first-look.ipynb",
    ]);
    expect(readNotebooks(study.root, notebookPaths(study.root)).map(({ path }) => path)).toEqual(
      chosen,
    );
  });
});
