/** A file of the archive as the crate describes it. */
export interface CrateFile {
  readonly path: string;
  readonly name: string;
  readonly mediaType: string;
  readonly bytes: number;
  readonly sha256: string;
  /** ISO date on which the file last changed, where the record says it. */
  readonly modified?: string | undefined;
}

/** A folder that the crate describes, with all files under it. */
export interface CrateFolder {
  /** Path with the slash at its end. */
  readonly path: string;
  readonly name: string;
  readonly description: string;
  readonly licence?: CrateLicence | undefined;
}

/** A person, as the study's descriptor names them. */
export interface CrateContributor {
  readonly title: string;
  readonly givenName?: string | undefined;
  readonly familyName?: string | undefined;
  readonly path?: string | undefined;
  readonly email?: string | undefined;
  readonly organization?: string | undefined;
}

export interface CrateLicence {
  /** Its web address. */
  readonly url: string;
  readonly name: string;
}

/** A program that took part in making the record. */
export interface CrateProgram {
  readonly name: string;
  readonly version: string;
  /** Its home on the web, or a folder of the crate. */
  readonly url: string;
  readonly what: string;
}

/** One run: what was read, what was made, by which programs. */
export interface CrateRun {
  readonly name: string;
  readonly description: string;
  readonly read: readonly string[];
  readonly made: readonly string[];
  readonly programs: readonly string[];
}

export interface CrateInput {
  readonly name: string;
  readonly description: string;
  readonly version?: string | undefined;
  readonly keywords: readonly string[];
  /** ISO date. */
  readonly date: string;
  readonly licences: readonly CrateLicence[];
  readonly contributors: readonly CrateContributor[];
  readonly files: readonly CrateFile[];
  readonly folders: readonly CrateFolder[];
  readonly programs: readonly CrateProgram[];
  readonly runs: readonly CrateRun[];
}
