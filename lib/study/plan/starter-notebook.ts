/** A cell of the first notebook: text as it stands, code as TypeScript. */
interface Draft {
  readonly id: string;
  readonly type: "markdown" | "code";
  readonly source: string;
}

/**
 * The first notebook of an empty study, in Jupyter's format 4.5. It says what has been recorded and
 * what is still missing, and runs from the first day, before there is a trial.
 * @see https://nbformat.readthedocs.io/en/latest/format_description.html
 */
export function starterNotebook(name: string, title: string): string {
  const cells = drafts(title).map(({ id, type, source }) => ({
    cell_type: type,
    ...(type === "code" ? { execution_count: null } : {}),
    id,
    metadata: {},
    ...(type === "code" ? { outputs: [] } : {}),
    source: lines(source),
  }));
  const kernelspec = {
    display_name: "Tautline (TypeScript)",
    language: "typescript",
    name: "tautline",
  };
  const metadata = {
    kernelspec,
    language_info: { file_extension: ".ts", mimetype: "text/x-typescript", name: "typescript" },
    tautline: { changes: [], study: name, version: "0.1.0" },
  };
  return `${JSON.stringify({ cells, metadata, nbformat: 4, nbformat_minor: 5 }, null, 1)}\n`;
}

function lines(source: string): string[] {
  const all = source.split("\n");
  return all.map((line, i) => (i < all.length - 1 ? `${line}\n` : line));
}

/** A title may hold anything; in the notebook it is plain text on one line. */
function plain(title: string): string {
  return title.replace(/[\\`*_{}[\]<>#|$&]/g, "\\$&").replace(/\s+/g, " ");
}

function drafts(title: string): Draft[] {
  return [
    {
      id: "question",
      type: "markdown",
      source: `# ${plain(title)}: first look\n\nWhat has been recorded so far, what is left out, and what does the plan still ask for?`,
    },
    { id: "open", type: "code", source: openCell },
    { id: "rows", type: "code", source: rowsCell },
    { id: "issues", type: "code", source: issuesCell },
    { id: "grip", type: "code", source: gripCell },
    {
      id: "claims",
      type: "markdown",
      source:
        "**What may be claimed:** how many trials there are and how they spread. **What may not:** any change or difference. The comparison in the plan is made once, when the last test is done.",
    },
  ];
}

const openCell = `import { openStudy, summariseGrip, table } from "tautline";
import { describe } from "tautline/stats";

const study = openStudy(".");`;

const rowsCell = `table({
  id: "rows-read",
  caption: "Rows of each file: read, in use and set aside.",
  columns: [
    { name: "file", label: "File" },
    { name: "rows", label: "Read", digits: 0 },
    { name: "used", label: "In use", digits: 0 },
    { name: "aside", label: "Set aside", digits: 0 },
  ],
  rows: study.account.map(({ file, rows, used }) => ({ file, rows, used, aside: rows - used })),
});`;

const issuesCell = `if (study.issues.length > 0) {
  table({
    id: "issues",
    caption: "What the checks of the files say.",
    columns: [
      { name: "file", label: "File" },
      { name: "row", label: "Row", digits: 0 },
      { name: "message", label: "What was found" },
    ],
    rows: study.issues.map(({ file, row, message }) => ({ file, row, message })),
  });
}`;

const gripCell = `if (study.gripTrials.numRows() > 1) {
  const grip = summariseGrip(study, { rule: study.plan.summaries.grip });
  const spread = describe(grip.array("grip_kgf") as number[]);
  table({
    id: "grip-spread",
    caption: "Grip force of every person, occasion, hand and position, by the planned summary rule.",
    columns: [
      { name: "n", label: "Values", digits: 0 },
      { name: "mean", label: "Mean", unit: "kgf", digits: 1 },
      { name: "sd", label: "SD", unit: "kgf", digits: 1 },
    ],
    rows: [spread],
  });
}`;
