import { readFileSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import {
  type AddedRows,
  addedRows,
  type MetRow,
  type RowFile,
  resourceOfFile,
} from "../form/added-rows.js";
import type { FormFile } from "../form/form-content.js";
import { outputFolder, placeFile } from "../report/folder.js";
import { openStudy } from "../study/open.js";
import { UsageError } from "./arguments.js";
import { exitCodes, type Io } from "./io.js";
import { printable } from "./terminal-text.js";

/**
 * Adds the rows of exported files to the study's own files. Nothing is written when two rows about
 * the same trial differ, because only a person can say which one is right.
 */
export function addFiles(folder: string, paths: readonly string[], io: Io, json: boolean): number {
  const study = openStudy(folder);
  const people = study.participants.objects() as { participant: string; plays?: string }[];
  const sided = people.map(({ participant, plays }) =>
    plays === "right" || plays === "left" ? ({ participant, plays } as const) : { participant },
  );
  const added = paths.map((path) => ({
    name: basename(path),
    bytes: bytesOf(resolve(io.cwd, path)),
  }));
  const byFile = new Map<FormFile, RowFile[]>();
  for (const file of added) {
    const resource = resourceOfFile(file);
    byFile.set(resource, [...(byFile.get(resource) ?? []), file]);
  }
  const results = [...byFile].map(([resource, files]): [string, AddedRows] => {
    const path = `${resource}.csv`;
    if (!study.files.includes(path))
      throw new UsageError(
        `the study has no ${path} in the plain layout; name the exported file as a resource of its own in datapackage.json`,
      );
    const present = { name: path, bytes: bytesOf(join(folder, path)) };
    return [path, addedRows(present, files, sided)];
  });
  const contradicted = results.some(([, { contradictions }]) => contradictions.length > 0);
  if (!contradicted) {
    const out = outputFolder(folder, folder);
    for (const [path, { text, added: rows }] of results) if (rows > 0) placeFile(out, path, text);
  }
  if (json)
    io.out(
      `${JSON.stringify({ kind: "addedRows", written: !contradicted, files: results.map(([file, { text, ...result }]) => ({ file, ...result })) })}\n`,
    );
  else io.out(addedText(results, contradicted));
  return contradicted ? exitCodes.differences : exitCodes.fine;
}

function bytesOf(path: string): Uint8Array {
  try {
    return readFileSync(path);
  } catch (error) {
    throw new UsageError(`${path} cannot be read: ${(error as Error).message}`);
  }
}

function addedText(results: readonly [string, AddedRows][], contradicted: boolean): string {
  const lines = results.flatMap(([path, { read, added, duplicates, contradictions }]) => [
    `${path}: ${read} rows read, ${contradicted ? 0 : added} added, ${duplicates.length} there already, ${contradictions.length} contradict.`,
    ...contradictions.map(contradictionText),
    ...duplicates
      .slice(0, 5)
      .map(
        ({ file, row, other, otherRow }) =>
          `  ${file}, row ${row} is the same as ${other}, row ${otherRow}.`,
      ),
    ...(duplicates.length > 5
      ? [`  … and ${duplicates.length - 5} more rows that are there already.`]
      : []),
  ]);
  const close = contradicted
    ? [
        "Nothing was written. Decide which row is right, correct or remove the other in its file, and add again.",
      ]
    : [];
  return `${[...lines, ...close].map(printable).join("\n")}\n`;
}

function contradictionText({ file, row, other, otherRow, what, differences }: MetRow): string {
  const words = differences.map(
    ({ column, here, there }) => `${column} ${here || "empty"}, there ${there || "empty"}`,
  );
  return `  ${file}, row ${row} and ${other}, row ${otherRow} are about the same trial (${what}): ${words.join("; ")}.`;
}
