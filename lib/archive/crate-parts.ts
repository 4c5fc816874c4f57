/** A file of the archive as the crate describes it. */
export interface CrateFile {
  /** Path in the archive. */
  readonly path: string;
  /** What the file is, for a reader. */
  readonly name: string;
  /** Its media type, such as "text/csv". */
  readonly mediaType: string;
  /** Size, bytes. */
  readonly bytes: number;
  /** SHA-256, hexadecimal. */
  readonly sha256: string;
  /** ISO date on which the file last changed, where the record says it. */
  readonly modified?: string | undefined;
}

/** A folder that the crate describes, with all files under it. */
export interface CrateFolder {
  /** Path with the slash at its end. */
  readonly path: string;
  /** What the folder is, for a reader. */
  readonly name: string;
  /** What it contains, in a sentence. */
  readonly description: string;
  /** Licence of its files; left out where it is that of the whole archive. */
  readonly licence?: CrateLicence | undefined;
}

/** A person, as the study's descriptor names them. */
export interface CrateContributor {
  /** Full name. */
  readonly title: string;
  /** Given name. */
  readonly givenName?: string | undefined;
  /** Family name. */
  readonly familyName?: string | undefined;
  /** Web address of the person, such as an ORCID. */
  readonly path?: string | undefined;
  /** Address for letters about the data. */
  readonly email?: string | undefined;
  /** Employer or institute. */
  readonly organization?: string | undefined;
}

/** A licence that covers a part of the archive. */
export interface CrateLicence {
  /** Its web address. */
  readonly url: string;
  /** Its name or SPDX identifier. */
  readonly name: string;
}

/** A program that took part in making the record. */
export interface CrateProgram {
  /** Name of the program. */
  readonly name: string;
  /** Version that was used. */
  readonly version: string;
  /** Its home on the web, or a folder of the crate. */
  readonly url: string;
  /** What it did, in a clause. */
  readonly what: string;
}

/** One run: what was read, what was made, by which programs. */
export interface CrateRun {
  /** What the run was, for a reader. */
  readonly name: string;
  /** What it did, in a sentence. */
  readonly description: string;
  /** Paths of the files that it read. */
  readonly read: readonly string[];
  /** Paths of the files that it made. */
  readonly made: readonly string[];
  /** Names of the programs that took part. */
  readonly programs: readonly string[];
}

/** Everything that the crate's metadata describe. */
export interface CrateInput {
  /** Title of the archive. */
  readonly name: string;
  /** What the study is, in a paragraph. */
  readonly description: string;
  /** Version of the study, as its descriptor states it. */
  readonly version?: string | undefined;
  /** Keywords of the study. */
  readonly keywords: readonly string[];
  /** ISO date. */
  readonly date: string;
  /** Licences of the data. */
  readonly licences: readonly CrateLicence[];
  /** Authors and others who took part. */
  readonly contributors: readonly CrateContributor[];
  /** The files of the archive. */
  readonly files: readonly CrateFile[];
  /** Folders that are described as a whole. */
  readonly folders: readonly CrateFolder[];
  /** Programs that made the record. */
  readonly programs: readonly CrateProgram[];
  /** The runs of notebooks. */
  readonly runs: readonly CrateRun[];
}
