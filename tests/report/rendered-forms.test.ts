import { describe, expect, it } from "vitest";
import type { Notebook } from "../../lib/notebook/nbformat.js";
import { withRenderedForms } from "../../lib/report/rendered-forms.js";
import { notebookPaths } from "../../lib/workspace/notebook-files.js";
import { formsApart } from "../../lib/workspace/verification.js";
import { readRecord } from "../notebook/forgeries.js";

const record = readRecord("notebooks/winter-block/3-change.ipynb");
const finding = "application/vnd.tautline.finding+json";

/** The record with one form of the first output that has it changed by hand. */
function forged(kind: string, mime: string, change: (text: string) => unknown): Notebook {
  const copy = structuredClone(record) as unknown as {
    cells: { outputs?: { data?: Record<string, unknown> }[] }[];
  };
  const outputs = copy.cells.flatMap(({ outputs }) => outputs ?? []);
  const output = outputs.find(({ data }) => data?.[kind] !== undefined && data[mime] !== undefined);
  const text = output!.data![mime];
  output!.data![mime] = change(Array.isArray(text) ? text.join("") : (text as string));
  return copy as unknown as Notebook;
}

const apart = (notebook: Notebook) =>
  formsApart(notebook, withRenderedForms).map(({ kind, difference }) => `${kind}: ${difference}`);

describe("the forms of a recorded output against its own data", () => {
  it("agree in every notebook of the repository", () => {
    const found = notebookPaths(process.cwd()).flatMap((path) => apart(readRecord(path)));
    expect(found).toEqual([]);
  });

  it("name a number that only the markup shows, with both texts", () => {
    const notebook = forged(finding, "text/html", (html) =>
      html.replace(/(\d)\.(\d)&nbsp;kgf/, "9.9&nbsp;kgf"),
    );
    const [message, ...others] = apart(notebook);
    expect(others).toEqual([]);
    expect(message).toMatch(
      /^finding: its HTML reads “.*9\.9&nbsp;kgf.*”, its data “.*2\.4&nbsp;kgf.*”$/,
    );
  });

  it.each([
    ["text/markdown", "9.9 kgf", "Markdown"],
    ["image/png", "AAAA", "image"],
    ["application/x-words", "9.9 kgf", "further form"],
  ])("name a form of the type %s that the data do not make", (mime, shown, form) => {
    const copy = structuredClone(record) as unknown as {
      cells: { outputs?: { data?: Record<string, unknown> }[] }[];
    };
    const outputs = copy.cells.flatMap(({ outputs }) => outputs ?? []);
    outputs.find(({ data }) => data?.[finding] !== undefined)!.data![mime] = shown;
    expect(apart(copy as unknown as Notebook)).toEqual([`finding: its ${form} is not in its data`]);
  });

  it("name a forged markup also where the output is marked as the value of its cell", () => {
    const copy = structuredClone(record) as unknown as {
      cells: { outputs?: { output_type: string; data?: Record<string, unknown> }[] }[];
    };
    const outputs = copy.cells.flatMap(({ outputs }) => outputs ?? []);
    const output = outputs.find(({ data }) => data?.[finding] !== undefined)!;
    output.output_type = "execute_result";
    output.data!["text/html"] += "9.9";
    expect(apart(copy as unknown as Notebook)).toEqual([
      expect.stringMatching(/^finding: its HTML reads “.*9\.9”, its data “/),
    ]);
  });

  it("name a sentence that its numbers do not make", () => {
    const notebook = forged(finding, finding, () => {
      const shown = record.cells
        .flatMap((cell) => (cell.cell_type === "code" ? cell.outputs : []))
        .find((output) => "data" in output && output.data[finding] !== undefined);
      const data = (shown as unknown as { data: Record<string, Record<string, unknown>> }).data[
        finding
      ]!;
      return { ...data, sentence: String(data.sentence).replace("2.4", "6.4") };
    });
    expect(apart(notebook)[0]).toMatch(
      /^finding: its sentence reads “.*6\.4 kgf.*”, its data “.*2\.4 kgf/,
    );
  });

  it.each([
    ["application/vnd.tautline.table+json", "text/html", "table"],
    ["application/vnd.tautline.table+json", "text/plain", "table"],
    ["application/vnd.tautline.claim+json", "text/plain", "claim"],
    ["application/vnd.tautline.figure+json", "text/plain", "figure"],
    ["application/vnd.tautline.figure+json", "text/html", "figure"],
  ])("find a changed word in %s, %s", (kind, mime, name) => {
    const notebook = forged(kind, mime, (text) =>
      text.replace(/golfer|grip|Grip|figcaption/, "forged"),
    );
    expect(apart(notebook)[0]).toMatch(new RegExp(`^${name}: its (HTML|plain text) reads`));
  });

  it("find a chart that is not the figure's", () => {
    const plotly = "application/vnd.plotly.v1+json";
    const notebook = forged("application/vnd.tautline.figure+json", plotly, () => ({
      data: [],
      layout: {},
    }));
    expect(apart(notebook)[0]).toContain("figure: its chart");
  });

  it("find prose whose markup and words differ", () => {
    const withProse = readRecord("notebooks/checks/second-opinions.ipynb");
    const notebook = structuredClone(withProse) as unknown as {
      cells: { outputs?: { data?: Record<string, unknown> }[] }[];
    };
    const prose = notebook.cells
      .flatMap(({ outputs }) => outputs ?? [])
      .find(
        ({ data }) =>
          data &&
          String(data["text/html"]).startsWith("<p>") &&
          !Object.keys(data).some((mime) => /vnd\.tautline\.(?!prose)/.test(mime)),
      );
    prose!.data!["text/html"] = String(prose!.data!["text/html"]).replace(/\d/, "7x");
    expect(apart(notebook as unknown as Notebook)).not.toEqual([]);
  });
});
