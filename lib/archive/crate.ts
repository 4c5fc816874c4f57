import type {
  CrateContributor,
  CrateFile,
  CrateFolder,
  CrateInput,
  CrateLicence,
  CrateProgram,
  CrateRun,
} from "./crate-parts.js";

/** Where RO-Crate keeps its metadata. */
export const crateName = "ro-crate-metadata.json";

/** A link from one described thing to another. */
export interface Reference {
  /** Path or web address of the thing that is meant. */
  readonly "@id": string;
}

/** One described thing of a crate's flat graph. */
export interface Entity {
  /** Path or web address that names the thing. */
  readonly "@id": string;
  /** Kind of the thing, by schema.org. */
  readonly "@type": string | readonly string[];
  /** Any other property, by its schema.org name. */
  readonly [property: string]: unknown;
}

/** The text used when the authors state no licence. */
export const noLicence = "The authors state no licence. Ask them before you reuse the data.";

/**
 * An archive's metadata as RO-Crate 1.2: one flat JSON-LD graph of the archive, its files with their
 * hashes, the programs, the runs, the licences and the people.
 * @see https://w3id.org/ro/crate/1.2
 */
export function crateMetadata(input: CrateInput): { "@context": string; "@graph": Entity[] } {
  const people = described(input.contributors.map(personEntity));
  return {
    "@context": "https://w3id.org/ro/crate/1.2/context",
    "@graph": described([
      {
        "@id": crateName,
        "@type": "CreativeWork",
        about: { "@id": "./" },
        conformsTo: { "@id": "https://w3id.org/ro/crate/1.2" },
      },
      rootEntity(input, people),
      ...input.folders.map((folder) => folderEntity(folder, input.files)),
      ...input.files.map(fileEntity),
      ...input.runs.map((run) => runEntity(run, input.date)),
      ...input.programs.map(programEntity),
      ...input.licences.map(licenceEntity),
      ...input.folders.flatMap(({ licence }) => (licence ? [licenceEntity(licence)] : [])),
      ...people,
      ...input.contributors.flatMap(contactEntity),
    ]),
  };
}

/** Each thing once: two descriptions under one identifier are forbidden. */
function described(entities: readonly Entity[]): Entity[] {
  return [
    ...new Map(entities.toReversed().map((entity) => [entity["@id"], entity])).values(),
  ].reverse();
}

function rootEntity(input: CrateInput, people: readonly Entity[]): Entity {
  const top = [
    ...input.folders.map(({ path }) => path),
    ...input.files.map(({ path }) => path).filter((path) => !folderOf(path, input.folders)),
  ];
  return {
    "@id": "./",
    "@type": "Dataset",
    name: input.name,
    description: input.description,
    datePublished: input.date,
    dateModified: input.date,
    license: one(input.licences.map(({ url }) => ({ "@id": url }))) ?? noLicence,
    ...(input.version && { version: input.version }),
    ...(people.length > 0 && { author: one(people.map(reference)) }),
    ...(input.keywords.length > 0 && { keywords: input.keywords.join(", ") }),
    hasPart: one(top.map((path) => ({ "@id": identifier(path) }))),
    mentions: one([...input.runs.map((run) => ({ "@id": runId(run) }))]),
  };
}

/** The described folder of a file: the longest path that it starts with. */
function folderOf(path: string, folders: readonly CrateFolder[]): CrateFolder | undefined {
  return folders
    .filter((folder) => path.startsWith(folder.path))
    .sort((a, b) => b.path.length - a.path.length)[0];
}

function folderEntity(folder: CrateFolder, files: readonly CrateFile[]): Entity {
  const inside = files.filter(({ path }) => path.startsWith(folder.path));
  return {
    "@id": identifier(folder.path),
    "@type": "Dataset",
    name: folder.name,
    description: folder.description,
    ...(folder.licence && { license: { "@id": folder.licence.url } }),
    hasPart: one(inside.map(({ path }) => ({ "@id": identifier(path) }))),
  };
}

/** Notebooks are both files and programs; the rest are files. */
function fileEntity({ path, name, mediaType, bytes, sha256, modified }: CrateFile): Entity {
  return {
    "@id": identifier(path),
    "@type": path.endsWith(".ipynb") ? ["File", "SoftwareSourceCode"] : "File",
    name,
    encodingFormat: mediaType,
    contentSize: String(bytes),
    sha256,
    ...(modified && { dateModified: modified }),
    ...(path.endsWith(".ipynb") && { programmingLanguage: { "@id": programId("tslab") } }),
  };
}

/** No clock is read during a run; the day is that of the archive. */
function runEntity(run: CrateRun, date: string): Entity {
  return {
    "@id": runId(run),
    "@type": "CreateAction",
    name: run.name,
    description: run.description,
    endTime: date,
    instrument: one(run.programs.map((name) => ({ "@id": programId(name) }))),
    object: one(run.read.map((path) => ({ "@id": identifier(path) }))),
    result: one(run.made.map((path) => ({ "@id": identifier(path) }))),
  };
}

function programEntity({ name, version, url, what }: CrateProgram): Entity {
  const kernel = name === "tslab";
  return {
    "@id": programId(name),
    "@type": kernel ? ["SoftwareApplication", "ComputerLanguage"] : "SoftwareApplication",
    name,
    version,
    url: /^https?:/.test(url) ? url : { "@id": identifier(url) },
    description: what,
  };
}

function licenceEntity({ url, name }: CrateLicence): Entity {
  const description = `The terms of ${name} stand at ${url}`;
  return { "@id": url, "@type": "CreativeWork", name, description };
}

const orcid = /^https:\/\/orcid\.org\/\d{4}-\d{4}-\d{4}-\d{3}[\dX]$/;

function personEntity(person: CrateContributor, i: number): Entity {
  const { title, givenName, familyName, path, organization, email } = person;
  return {
    "@id": path && orcid.test(path) ? path : `#contributor-${i + 1}`,
    "@type": "Person",
    name: title,
    ...(givenName && { givenName }),
    ...(familyName && { familyName }),
    ...(path && !orcid.test(path) && { url: path }),
    ...(organization && { affiliation: organization }),
    ...(email && { contactPoint: { "@id": contactId(email) } }),
  };
}

function contactEntity({ email, title }: CrateContributor): Entity[] {
  if (!email) return [];
  return [
    {
      "@id": contactId(email),
      "@type": "ContactPoint",
      name: title,
      contactType: "questions about the study",
      email,
    },
  ];
}

function contactId(email: string): string {
  return `mailto:${encodeURI(email)}`;
}

function reference(entity: Entity): Reference {
  return { "@id": entity["@id"] };
}

/** A path as a URI reference: spaces and signs escaped, letters of all languages left as they are. */
export function identifier(path: string): string {
  return path.replace(/[^A-Za-z0-9\-._~!$&'()*+,;=@/\u00a0-\ud7ff\ue000-\u{10ffff}]/gu, (sign) =>
    encodeURIComponent(sign),
  );
}

function programId(name: string): string {
  return `#program-${name.toLowerCase().replace(/[^a-z0-9]+/g, "-")}`;
}

function runId({ name }: CrateRun): string {
  return `#${identifier(name.replace(/\s+/g, "-")).replaceAll("/", "-")}`;
}

/** A list of one is written as its one member, as compacted JSON-LD has it; none is left out. */
function one<T>(values: readonly T[]): T | readonly T[] | undefined {
  return values.length > 1 ? values : values[0];
}
