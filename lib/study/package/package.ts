import { nearestName } from "../../options.js";
import { designFaults, readStudyRecord, type StudyRecord } from "./design.js";
import { resourceNames } from "./dictionary.js";
import { isRecord, recordsIn, textOr } from "./json.js";
import { unknownKeys, unreadResources } from "./known-keys.js";
import type { PackageFault } from "./package-fault.js";
import { planFaults } from "./plan-references.js";
import { checkPackage } from "./profile.js";
import { type Resource, readResources, resourceFaults } from "./resource.js";
import { studyShape } from "./study-shape.js";
import { type Misfit, validates, validatorOf } from "./validator.js";

/** datapackage.json of a study, read and typed. */
export interface StudyPackage {
  /** Name of the study in the descriptor. */
  readonly name: string;
  /** Title of the study, as a reader sees it. */
  readonly title: string;
  /** The study's own part of the descriptor. */
  readonly study: StudyRecord;
  /** The files of the study. */
  readonly resources: readonly Resource[];
}

/** A descriptor after reading: the study, or what is wrong with it. */
export interface PackageResult {
  /** Null when anything is wrong with the descriptor. */
  readonly package: StudyPackage | null;
  /** Everything that is wrong with it. */
  readonly faults: readonly PackageFault[];
  /** Keys, resources and entries of the plan that mean nothing here; the rest can be read. */
  readonly oddities: readonly PackageFault[];
}

const studyMisfits = validatorOf(studyShape);

/**
 * Reads datapackage.json, parsed: a Data Package v2 descriptor with our `study` property.
 * @see https://datapackage.org/standard/data-package/
 */
export function readPackage(descriptor: unknown): PackageResult {
  const faults = validates ? faultsOf(descriptor) : [];
  if (!isRecord(descriptor)) return { package: null, faults, oddities: [] };
  // Misspelt keys are named beside a fault, so that one correction does not bring up the next.
  const keys = unknownKeys(descriptor);
  if (faults.length > 0) return { package: null, faults, oddities: keys };
  const name = textOr(descriptor.name) || "study";
  const title = textOr(descriptor.title) || name;
  const study = readStudyRecord(isRecord(descriptor.study) ? descriptor.study : {}, title);
  const resources = readResources(recordsIn(descriptor.resources));
  const oddities = [...keys, ...unreadResources(descriptor, resourceNames), ...planFaults(study)];
  return { package: { name, title, study, resources }, faults, oddities };
}

/** What is wrong by our own schema, then breaches of the standard at places not yet named. */
function faultsOf(descriptor: unknown): PackageFault[] {
  if (!isRecord(descriptor) || !isRecord(descriptor.study)) {
    const expected = studyShape.description;
    return [faultAt({ where: "study", value: descriptor, expected })];
  }
  const shape = studyMisfits(descriptor);
  const ours = [
    ...shape,
    ...(shape.length === 0 ? designFaults(descriptor.study) : []),
    ...resourceFaults(descriptor.resources),
  ].map(faultAt);
  const named = new Set(ours.map(({ where }) => where));
  const standard = checkPackage(descriptor)
    .faults.filter(({ where, rule }) => rule === "must" && !named.has(where))
    .map(({ where, value, expected }) => ({ code, where, value, expected }));
  return [...ours, ...standard];
}

const code = "package-incomplete" as const;

function faultAt({ where, value, expected }: Misfit): PackageFault {
  const shown = value === undefined ? "nothing" : String(JSON.stringify(value)).slice(0, 60);
  return { code, where, value: shown, expected: suggestion(value, expected) };
}

/** Where a text is one of a list, misspelt, the expected one is named. */
function suggestion(value: unknown, expected: string): string {
  const list = /: ([a-z0-9-]+(?:, [a-z0-9-]+)+)$/.exec(expected)?.[1];
  const near = list && typeof value === "string" ? nearestName(value, list.split(", ")) : undefined;
  return near === undefined ? expected : `${expected} (did you mean "${near}"?)`;
}
