import { InputError } from "../../errors.js";
import { descriptorName, readStudyFiles } from "../files.js";
import type { StudyDesign, StudyPlan } from "./design.js";
import { isRecord, recordsIn, textOr } from "./json.js";
import { readPackage } from "./package.js";
import { readDescriptor } from "./read-descriptor.js";

/** What datapackage.json says of a study, before any file of data is checked. */
export interface StudyOutline {
  /** Name of the study's folder. */
  readonly name: string;
  /** Title of the study, as a reader sees it. */
  readonly title: string;
  /** What was going to be measured, in whom and when. */
  readonly design: StudyDesign;
  /** What was going to be reported, decided before the data were seen. */
  readonly plan: StudyPlan;
  /** Kinds of the files that the descriptor names, such as "training-log". */
  readonly resources: readonly string[];
}

/**
 * The outline of a study, by its name or the path of its folder.
 * @throws InputError when there is no such study, or its descriptor is not one of a study
 */
export function studyOutline(nameOrPath: string): StudyOutline {
  const { name, files } = readStudyFiles(nameOrPath);
  const bytes = files.get(descriptorName);
  const where = `study ${name}, ${descriptorName}`;
  if (!bytes) throw new InputError({ expected: "a file", got: "none", where });
  const descriptor = readDescriptor(bytes);
  const { package: read, faults } = readPackage(descriptor);
  if (!read) {
    const [first] = faults;
    const expected = first?.expected ?? "the descriptor of a study";
    const got = first?.value ?? "something else";
    throw new InputError({ expected, got, where: `${where}, ${first?.where ?? "study"}` });
  }
  const { title, design, plan } = read.study;
  return { name, title, design, plan, resources: kindsIn(descriptor) };
}

function kindsIn(descriptor: unknown): string[] {
  const resources = isRecord(descriptor) ? recordsIn(descriptor.resources) : [];
  return resources.map(({ kind, name }) => textOr(kind) || textOr(name));
}
