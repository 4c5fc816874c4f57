import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { readNotebooks } from "../../lib/report/recorded.js";
import { chosenNotebooks, notebookPaths } from "../../lib/workspace/notebook-files.js";
import { notebookOf, type TemporaryStudy, temporaryStudy } from "../notebook/temporary-study.js";

describe("the notebooks of a study repository", () => {
  let study: TemporaryStudy;
  beforeAll(() => {
    study = temporaryStudy([]);
    for (const name of [
      "notebooks/learn/1-lesson.ipynb",
      "notebooks/checks/agreement.ipynb",
      "notebooks/series/pool.ipynb",
      "notebooks/spring/10-late.ipynb",
      "notebooks/spring/9-early.ipynb",
      "notebooks/autumn/9-early.ipynb",
      "notebooks/.hidden/9.ipynb",
      "data/spring/first-look.ipynb",
      "data/loose.ipynb",
    ]) {
      study.write(name, notebookOf("1"));
    }
  });
  afterAll(() => study.remove());

  it("are the same for the commands and for the report, studies first, in the order of their numbers", () => {
    const chosen = chosenNotebooks([], study.root, study.root);
    expect(chosen).toEqual([
      "notebooks/autumn/9-early.ipynb",
      "notebooks/spring/9-early.ipynb",
      "notebooks/spring/10-late.ipynb",
      "data/spring/first-look.ipynb",
      "notebooks/series/pool.ipynb",
      "notebooks/checks/agreement.ipynb",
      "notebooks/learn/1-lesson.ipynb",
    ]);
    expect(readNotebooks(study.root, notebookPaths(study.root)).map(({ path }) => path)).toEqual(
      chosen,
    );
  });

  it("are named by their study, by study and name, or by a name that one folder has", () => {
    const named = (...words: string[]) => chosenNotebooks(words, study.root, study.root);
    expect(named("spring")).toEqual([
      "notebooks/spring/9-early.ipynb",
      "notebooks/spring/10-late.ipynb",
    ]);
    expect(named("spring/9-early")).toEqual(["notebooks/spring/9-early.ipynb"]);
    expect(named("10-late")).toEqual(["notebooks/spring/10-late.ipynb"]);
    expect(() => named("9-early")).toThrow(
      '"9-early" could be notebooks/autumn/9-early.ipynb or notebooks/spring/9-early.ipynb; give the path',
    );
  });
});
