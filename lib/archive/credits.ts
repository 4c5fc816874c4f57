import type { Study } from "../study/study.js";
import type { ArchivedNotebook } from "./contents.js";
import type { CrateContributor, CrateLicence } from "./crate-parts.js";

type Json = Readonly<Record<string, unknown>>;

/** What a study's descriptor says of its authors, licence and version; nothing is made up. */
export interface Credits {
  /** Authors and others who took part. */
  readonly contributors: readonly CrateContributor[];
  /** Licences of the data. */
  readonly licences: readonly CrateLicence[];
  /** Version of the study, as its descriptor states it. */
  readonly version: string | undefined;
  /** What the study is, in a paragraph. */
  readonly description: string;
  /** Keywords of the study. */
  readonly keywords: readonly string[];
}

function text(value: unknown): string | undefined {
  return typeof value === "string" && value.trim() !== "" ? value.trim() : undefined;
}

function records(value: unknown): Json[] {
  if (!Array.isArray(value)) return [];
  return value.filter((item): item is Json => typeof item === "object" && item !== null);
}

/**
 * @param descriptor datapackage.json, parsed
 * @see https://datapackage.org/standard/data-package/#contributors
 */
export function creditsOf(descriptor: Json): Credits {
  const { contributors, licenses, keywords } = descriptor;
  return {
    contributors: records(contributors).flatMap(contributorOf),
    licences: records(licenses).flatMap(licenceOf),
    version: text(descriptor.version),
    description: text(descriptor.description) ?? "",
    keywords: Array.isArray(keywords) ? keywords.flatMap((word) => text(word) ?? []) : [],
  };
}

function contributorOf(given: Json): CrateContributor[] {
  const parts = { givenName: text(given.givenName), familyName: text(given.familyName) };
  const title =
    text(given.title) ??
    ([parts.givenName, parts.familyName].filter(Boolean).join(" ") || undefined);
  if (title === undefined) return [];
  const web = text(given.path);
  return [
    {
      title,
      ...parts,
      path: web && /^https?:\/\//.test(web) ? web : undefined,
      email: text(given.email),
      organization: text(given.organization),
    },
  ];
}

/** A licence is identified by its address; for a known name that is SPDX's page. */
function licenceOf(given: Json): CrateLicence[] {
  const name = text(given.name) ?? text(given.title);
  const web = text(given.path);
  if (web && /^https?:\/\/[^\s"<>]+$/.test(web)) return [{ url: web, name: name ?? web }];
  if (name && /^[A-Za-z0-9.+-]+$/.test(name)) {
    return [{ url: `https://spdx.org/licenses/${name}`, name }];
  }
  return [];
}

const isoDay = /^\d{4}-\d{2}-\d{2}/;

/** The latest day that the study or its notebooks record, or undefined where no day is recorded. */
export function newestDay(
  study: Study,
  notebooks: readonly ArchivedNotebook[],
): string | undefined {
  const tables = [study.allGripTrials, study.allSwingTrials, study.trainingLog];
  const days = [
    study.plan.decidedOn,
    ...study.changes.map(({ on }) => on),
    ...notebooks.flatMap(({ notebook }) => changeDays(notebook.metadata)),
    ...tables
      .filter((table) => table.columnNames().includes("date"))
      .flatMap((table) => Array.from(table.array("date") as Iterable<unknown>)),
  ];
  const known = days.filter((day): day is string => typeof day === "string" && isoDay.test(day));
  return known.map((day) => day.slice(0, 10)).reduce<string | undefined>(later, undefined);
}

function later(a: string | undefined, b: string): string {
  return a !== undefined && a > b ? a : b;
}

/** The latest day in a notebook's own list of changes. */
export function notebookDay({ metadata }: ArchivedNotebook["notebook"]): string | undefined {
  const days = changeDays(metadata).filter(
    (day): day is string => typeof day === "string" && isoDay.test(day),
  );
  return days.map((day) => day.slice(0, 10)).reduce<string | undefined>(later, undefined);
}

function changeDays(metadata: Json): unknown[] {
  const { changes } = (metadata.tautline ?? {}) as Json;
  return records(changes).map(({ date }) => date);
}
