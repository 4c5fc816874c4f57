import {
  copyFileSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { type Notebook, parseNotebook, writeNotebook } from "../../lib/notebook/nbformat.js";
import { calledIn, type Spoken } from "../cli/heard.js";

const here = dirname(fileURLToPath(import.meta.url));
const project = resolve(here, "../..");

/** A study repository in a temporary folder, with notebooks from tests/notebook/files. */
export interface TemporaryStudy {
  readonly root: string;
  path(name: string): string;
  read(name: string): string;
  write(name: string, text: string): void;
  /** Every file of the study itself, without what is installed. */
  files(): string[];
  remove(): void;
}

export function temporaryStudy(notebooks: readonly string[]): TemporaryStudy {
  const root = realpathSync(mkdtempSync(join(tmpdir(), "study of tests-")));
  const path = (name: string) => join(root, name);
  const write = (name: string, text: string) => {
    mkdirSync(dirname(path(name)), { recursive: true });
    writeFileSync(path(name), text);
  };
  symlinkSync(join(project, "node_modules"), path("node_modules"));
  write("package.json", '{ "name": "a-study-of-tests" }\n');
  write("data/grip.csv", "kgf\n41.5\n43\n40.2\n");
  mkdirSync(path("notebooks"));
  for (const name of notebooks) {
    copyFileSync(join(here, "files", `${name}.ipynb`), path(`notebooks/${name}.ipynb`));
  }
  return {
    root,
    path,
    read: (name) => readFileSync(path(name), "utf8"),
    write,
    files: () => filesIn(root),
    remove: () => rmSync(root, { recursive: true, force: true }),
  };
}

function filesIn(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return entry.name === ".git" ? [] : filesIn(path);
    return entry.isFile() ? [path] : [];
  });
}

export function notebookFile(name: string): Notebook {
  return parseNotebook(readFileSync(join(here, "files", `${name}.ipynb`), "utf8"));
}

/** A notebook made of code cells, for a test that needs one of its own. */
export function notebookOf(...cells: string[]): string {
  return writeNotebook({
    cells: cells.map((source, i) => ({
      cell_type: "code",
      id: `c${i + 1}`,
      metadata: {},
      source,
      execution_count: null,
      outputs: [],
    })),
    metadata: { tautline: { version: "1.0.0", study: "none", changes: [] } },
    nbformat: 4,
    nbformat_minor: 5,
  });
}

/** Runs a command of the program in this process, as if it was called in the study's folder. */
export async function tautline(study: TemporaryStudy, ...args: string[]): Promise<Spoken> {
  return calledIn(study.root, args);
}
