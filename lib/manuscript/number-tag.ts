import { createHash } from "node:crypto";

/** A number, or a word that follows from one, as the record has it. */
export interface RecordedNumber {
  /** Name of the study's folder. */
  readonly study: string;
  /** Id of the finding or claim; "~" begins the id of a number of the study itself. */
  readonly id: string;
  /** Which part of it: "value", "low", "high", "n", "p" and so on. */
  readonly part: string;
  /** Version of the record that wrote it. */
  readonly version: string;
  /** The number as a reader sees it. */
  readonly text: string;
  /** Unit that follows it in the text; "" without one. */
  readonly unit: string;
  /** A word about the number; the words in the text are the author's own and are not compared. */
  readonly isWord?: boolean | undefined;
}

/** "p = 0.014" as "0.014", and "p < 0.001" as "< 0.001". */
export function bareProbability(text: string): string {
  return text.replace(/^p (?:= )?/, "");
}

/** What a tag in a document says. */
export interface NumberTag {
  /** Name of the study's folder, perhaps shortened. */
  readonly study: string;
  /** Id of the finding, perhaps shortened. */
  readonly id: string;
  /** Part of the finding. */
  readonly part: string;
  /** Version that the number was written from. */
  readonly version: string;
}

/** A word processor takes 64 characters in a tag: this many for study, id and part. */
const longestKey = 44;
/** What is left of a name that is too long. */
const shortName = 16;

/** A version as a tag has it. */
export function tagVersion(version: string): string {
  return version.slice(0, 8);
}

/** The part of a tag that names a number in every version. */
export function numberKey({ study, id, part }: Omit<NumberTag, "version">): string {
  const isLong = study.length + id.length + part.length > longestKey;
  const [ownStudy, ownId] = isLong ? [shortened(study), shortened(id)] : [study, id];
  return `${ownStudy}/${ownId}/${part}`;
}

/** A name that is too long keeps its beginning and a hash of the whole. */
function shortened(name: string): string {
  if (name.length <= shortName) return name;
  return `${name.slice(0, 8)}~${createHash("sha256").update(name).digest("hex").slice(0, 7)}`;
}

/** The tag of a number's content control. */
export function tagText(number: NumberTag): string {
  return `tautline:${numberKey(number)}@${tagVersion(number.version)}`;
}

/** Reads a tag; undefined where it is not one of ours. */
export function readTag(text: string): NumberTag | undefined {
  const [, study, id, part, version] =
    /^tautline:([^/@]+)\/([^/@]+)\/([^/@]+)@([^/@]+)$/.exec(text) ?? [];
  if (study === undefined || id === undefined || part === undefined || version === undefined) {
    return undefined;
  }
  return { study, id, part, version };
}
