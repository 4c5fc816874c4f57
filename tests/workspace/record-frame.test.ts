import { describe, expect, it } from "vitest";
import { parseNotebook, writeNotebook } from "../../lib/notebook/nbformat.js";
import { frameFaults, unfolded } from "../../lib/workspace/record-frame.js";
import { recordedData } from "../../lib/workspace/recording-hashes.js";
import { readRecord } from "../notebook/forgeries.js";

/** The parts of a notebook file that the forgeries change. */
interface RawNotebook {
  cells: RawCell[];
  metadata: {
    tautline: {
      data: Record<string, string>;
      study: string;
      version: string;
      changes: { version: string; date: string; what: string }[];
    };
    kernelspec: { display_name: string };
    language_info: { name: string };
  };
}

interface RawCell {
  id: string;
  metadata: Record<string, unknown>;
  source: string[];
  execution_count: number;
}

const record = readRecord("notebooks/winter-block/3-change.ipynb");
const files = recordedData(record);
const beside = { rerun: record, files, earlier: record };

/** What is said about the record with one thing beside its results changed. */
function said(change: (notebook: RawNotebook, cell: RawCell, text: RawCell) => void): string[] {
  const notebook: RawNotebook = JSON.parse(writeNotebook(record));
  const cellOf = (name: string) => notebook.cells.find(({ id }) => id === name)!;
  change(notebook, cellOf("primary-findings"), cellOf("primary"));
  return frameFaults({ ...beside, notebook: parseNotebook(JSON.stringify(notebook)) });
}

const forged: [string, Parameters<typeof said>[0], RegExp][] = [
  [
    "no hashes of the data",
    ({ metadata }) => Reflect.deleteProperty(metadata.tautline, "data"),
    /^the notebook has no record of its data: rebuild records it again$/,
  ],
  [
    "no hashes at all",
    ({ metadata }) => Reflect.deleteProperty(metadata, "tautline"),
    /no record of its data, text cells, code cells/,
  ],
  [
    "an empty list of data",
    ({ metadata }) => {
      metadata.tautline.data = {};
    },
    /participants\.csv was read, but the record does not name it$/,
  ],
  [
    "another run number",
    (_, cell) => {
      cell.execution_count = 41;
    },
    /^cell primary-findings has the run number 41; a run from top to bottom gives \d+$/,
  ],
  [
    "a comment in a code cell",
    (_, cell) => cell.source.push("\n// 9.9 kgf"),
    /^code cell primary-findings was changed$/,
  ],
  [
    "an entry of the changes rewritten",
    ({ metadata }) => {
      metadata.tautline.changes[0]!.what = "Nothing.";
    },
    /^the change 1\.0\.0 reads “Nothing\.”, in git “First version\.”$/,
  ],
  [
    "an entry of the changes removed",
    ({ metadata }) => metadata.tautline.changes.shift(),
    /^the list of changes does not name 1\.0\.0 any more$/,
  ],
  [
    "a version that no change names",
    ({ metadata }) => {
      metadata.tautline.version = "9.0.0";
    },
    /does not name the version 9\.0\.0$/,
  ],
  [
    "another study",
    ({ metadata }) => {
      metadata.tautline.study = "coach-nine";
    },
    /^its study in the metadata is not that in git/,
  ],
  [
    "another title of the kernel",
    ({ metadata }) => {
      metadata.kernelspec.display_name = "Verified";
    },
    /^the kernel is called “Verified”/,
  ],
  [
    "another language",
    ({ metadata }) => {
      metadata.language_info.name = "python";
    },
    /^the file says that its language is python/,
  ],
  [
    "outputs folded away",
    (_, cell) => {
      cell.metadata = { jupyter: { outputs_hidden: true } };
    },
    /^cell primary-findings is folded away in a front end \(outputs_hidden\)/,
  ],
  [
    "a cell folded away",
    (_, cell) => {
      cell.metadata = { collapsed: true };
    },
    /^cell primary-findings is folded away/,
  ],
  [
    "a heading with all below it folded away",
    (_, __, text) => {
      text.metadata = { "jp-MarkdownHeadingCollapsed": true };
    },
    /^cell primary is folded away/,
  ],
];

describe("what stands beside the results of a record", () => {
  it("is as a recording makes it until somebody changes it", () => {
    expect(said(() => {})).toEqual([]);
  });

  it.each(forged)("shows %s", (_, change, message) => {
    expect(said(change)).toContainEqual(expect.stringMatching(message));
  });

  it("may get new entries in the list of changes, and tags", () => {
    const grown = said(({ metadata: { tautline } }, cell) => {
      tautline.changes.push({ version: "9.0.0", date: "2026-12-01", what: "A new rule." });
      tautline.version = "9.0.0";
      cell.metadata = { tags: ["answer"], jupyter: { source_hidden: true } };
    });
    expect(grown).toEqual([]);
  });

  it("is unfolded by a recording, and keeps its other settings", () => {
    const [cell] = unfolded({
      ...record,
      cells: [
        {
          ...record.cells[0]!,
          cell_type: "code",
          metadata: {
            collapsed: true,
            tags: ["answer"],
            jupyter: { outputs_hidden: true, source_hidden: true },
          },
          execution_count: null,
          outputs: [],
        },
      ],
    }).cells;
    expect(cell?.metadata).toEqual({ tags: ["answer"], jupyter: { source_hidden: true } });
  });
});
