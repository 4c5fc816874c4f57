import type { Notebook, Output } from "../notebook/nbformat.js";
import { claimForms } from "../show/claim.js";
import { mimeTypes, type ReadableForms } from "../show/display.js";
import { figureForms, figureHtml } from "../show/figure.js";
import { findingForms } from "../show/finding.js";
import { findingSentence } from "../show/finding-words.js";
import { paragraphsHtml } from "../show/prose.js";
import { questionForms } from "../show/question.js";
import { tableForms } from "../show/table.js";
import { termsForms } from "../show/terms.js";
import { drawnHtml } from "./drawn-figure.js";
import { joinedText, type Shown, shownBy } from "./recorded-outputs.js";

type Data = Readonly<Record<string, unknown>>;

/**
 * The same notebook with every form of its outputs made again from the output's own record. A form
 * that differs from the recorded one shows something else than the data: nothing has to be run to
 * see that. Drawings stay as they are; outputs of other libraries have no record to be made from.
 */
export function withRenderedForms(notebook: Notebook): Notebook {
  const cells = notebook.cells.map((cell) =>
    cell.cell_type === "code" ? { ...cell, outputs: cell.outputs.map(rendered) } : cell,
  );
  return { ...notebook, cells };
}

function rendered(output: Output): Output {
  if (output.output_type !== "display_data" && output.output_type !== "execute_result") {
    return output;
  }
  const { data } = output;
  const forms = formsOf(shownBy(output), data);
  if (forms) return { ...output, data: { ...ownForms(data), ...forms } };
  const words = wordsOf(data);
  return words ? { ...output, data: { ...data, ...words } } : output;
}

/** What our kinds of output have beside their readable forms: their data and their drawing. */
function ownForms(data: Data): Data {
  const own = (mime: string) =>
    mime.startsWith("application/vnd.tautline.") || mime === mimeTypes.svg;
  return Object.fromEntries(Object.entries(data).filter(([mime]) => own(mime)));
}

/** The forms of our own kinds of output, by media type. */
function formsOf(shown: Shown, data: Data): Data | undefined {
  switch (shown.kind) {
    case "finding":
    case "unanswered": {
      const { sentence: _, ...finding } = shown.finding;
      const record = { ...finding, sentence: findingSentence(finding) };
      return { ...readable(findingForms(record)), [mimeTypes.finding]: record };
    }
    case "claim":
      return readable(claimForms(shown.claim));
    case "table":
      return readable(tableForms(shown.table));
    case "prose": {
      const { text } = shown.prose;
      return readable({ html: String(paragraphsHtml(text)), plain: text });
    }
    case "terms":
      return readable(termsForms(shown.terms));
    case "question":
      return readable(questionForms(shown.question));
    case "figure": {
      const { chart, plain } = figureForms(shown.figure);
      const svg = joinedText(data[mimeTypes.svg]);
      const html = svg === "" ? figureHtml(shown.figure) : drawnHtml(shown.figure, svg);
      return { ...readable({ html: String(html), plain }), [mimeTypes.plotly]: chart };
    }
    default:
      return undefined;
  }
}

function readable({ html, plain }: ReadableForms): Data {
  return { [mimeTypes.html]: html, [mimeTypes.plain]: plain };
}

/** Paragraphs and their plain text are the same words: where they are not, the plain text is taken. */
function wordsOf(data: Data): Data | undefined {
  const html = joinedText(data[mimeTypes.html]);
  const plain = joinedText(data[mimeTypes.plain]);
  const isProse = html.replace(/<\/?(?:p|b|i|em|strong|small)(?:\s[^>]*)?>/g, "").indexOf("<") < 0;
  if (html === "" || plain === "" || !isProse) return undefined;
  return textOf(html) === squeezed(plain) ? undefined : { [mimeTypes.html]: plain };
}

const entities: Readonly<Record<string, string>> = {
  amp: "&",
  lt: "<",
  gt: ">",
  quot: '"',
  nbsp: " ",
};

function textOf(html: string): string {
  const text = html
    .replace(/<\/p>\s*<p[^>]*>/g, " ")
    .replace(/<[^>]*>/g, "")
    .replace(/&#(\d+);/g, (_, code) => String.fromCodePoint(Number(code)))
    .replace(/&(\w+);/g, (whole, name) => entities[name] ?? whole);
  return squeezed(text);
}

function squeezed(text: string): string {
  return text.replace(/[\s\u00a0\u202f]+/g, " ").trim();
}
