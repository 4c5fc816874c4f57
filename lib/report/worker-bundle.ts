import { readFileSync } from "node:fs";
import type { Plugin } from "esbuild";
import { isForPages, isLibrary } from "./cell-imports.js";
import { type NotebookProgram, notebookProgram } from "./notebook-program.js";
import { bundle } from "./programs.js";
import type { RecordedNotebook } from "./recorded.js";

interface Embedded {
  readonly name: string;
  readonly files: readonly {
    readonly path: string;
    readonly text?: string;
    readonly base64?: string;
  }[];
}

/** More raw data than this makes a page too heavy to send. */
const mostBytes = 20 * 2 ** 20;

/** A data package's name and the bytes of its files, by their path in its folder. */
export interface RawData {
  /** Name of the data package. */
  readonly name: string;
  /** Contents of the files, by path relative to the package's folder. */
  readonly files: ReadonlyMap<string, Uint8Array>;
}

function embeddedFile(path: string, content: Uint8Array): Embedded["files"][number] {
  const bytes = Buffer.from(content);
  const text = bytes.toString("utf8");
  return Buffer.from(text, "utf8").equals(bytes)
    ? { path, text }
    : { path, base64: bytes.toString("base64") };
}

function embedded({ name, files }: RawData): Embedded {
  const inOrder = [...files].sort(([a], [b]) => (a < b ? -1 : 1));
  return { name, files: inOrder.map(([path, bytes]) => embeddedFile(path, bytes)) };
}

/**
 * arquero hands out rows by compiling a function for the columns; a page compiles nothing, and so
 * its rows are gathered column by column.
 */
const plainRows = `export function rowObjectBuilder(table, props = table.columnNames()) {
  const parts = [...entries(props)]
    .map((prop) => (isArray(prop) ? prop : [prop, prop]))
    .map(([name, key]) => [key, table.column(name)]);
  return (row) => Object.fromEntries(parts.map(([key, column]) => [key, column.at(row)]));
}
`;

/** What a page has in another form. */
function swaps(): Plugin {
  return {
    name: "page",
    setup(bundler) {
      bundler.onLoad(
        { filter: /[\\/]arquero[\\/]src[\\/]expression[\\/]row-object\.js$/ },
        ({ path }) => ({
          contents: readFileSync(path, "utf8").replace(
            /export function rowObjectBuilder[\s\S]*$/,
            plainRows,
          ),
          loader: "js",
        }),
      );
    },
  };
}

const libraryPart = "./page-library.js";
const serverPart = "./report/page/recompute-worker.js";

/** The notebooks' cells stand in the program's first file: it brings in nothing but what is for pages. */
function closed(): Plugin {
  return {
    name: "closed",
    setup(bundler) {
      bundler.onResolve({ filter: /.*/ }, ({ importer, path }) => {
        const known = isForPages(path) || path === libraryPart || path === serverPart;
        if (!importer.endsWith("<stdin>") || known) return undefined;
        return { errors: [{ text: `${path} is not for a page` }] };
      });
    },
  };
}

function entryOf(programs: readonly NotebookProgram[], studies: readonly Embedded[]): string {
  const ready = programs.filter((program) => "body" in program);
  const packages = [...new Set(ready.flatMap(({ modules }) => modules))].filter(
    (name) => !isLibrary(name),
  );
  const imports = packages.map(
    (name, i) => `import * as package${i} from ${JSON.stringify(name)};`,
  );
  const table = packages.map((name, i) => `${JSON.stringify(name)}: package${i}`);
  const functions = ready.map(
    ({ slug, body }) => `${JSON.stringify(slug)}: async (__module, __cell) => {\n${body}\n}`,
  );
  return [
    `import * as library from "${libraryPart}";`,
    `import { serve } from "${serverPart}";`,
    ...imports,
    `library.embedStudies(${JSON.stringify(studies)});`,
    `serve(library, { ...library.entries, ${table.join(", ")} }, {\n${functions.join(",\n")}\n});`,
  ].join("\n");
}

/** The program with which pages run their notebooks again. */
export interface WorkerBundle {
  /** The worker's program, or nothing when no notebook can run in a page. */
  readonly text: string | undefined;
  /** Why a notebook cannot, by its slug. */
  readonly problems: ReadonlyMap<string, string>;
}

function problemsOf(programs: readonly NotebookProgram[]): Map<string, string> {
  return new Map(
    programs.flatMap((one) => ("problem" in one ? [[one.slug, one.problem] as const] : [])),
  );
}

/**
 * The library, the raw data and the notebooks' cells as one program for a worker of a page: the same
 * TypeScript that ran in the kernel, translated and bundled, with the data inside. Lessons need the
 * library even where no notebook can be run again.
 */
export async function workerBundle(
  notebooks: readonly RecordedNotebook[],
  data: readonly RawData[],
): Promise<WorkerBundle> {
  const programs = await Promise.all(notebooks.map(notebookProgram));
  const problems = problemsOf(programs);
  const studies = data.map(embedded);
  const heavy = JSON.stringify(studies).length > mostBytes;
  if (heavy)
    for (const { slug } of notebooks) problems.set(slug, "its raw data are too large for a page");
  const none = heavy || problems.size === notebooks.length;
  if (none && !notebooks.some(({ lesson }) => lesson)) return { text: undefined, problems };
  const contents = none ? entryOf([], []) : entryOf(programs, studies);
  return { text: await bundle({ text: contents, plugins: [closed(), swaps()] }), problems };
}
