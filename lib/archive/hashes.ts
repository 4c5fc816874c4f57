import { createHash } from "node:crypto";
import { crateName, type Entity } from "./crate.js";
import { ArchiveFault, entryTimes } from "./reading.js";
import { type ArchiveFiles, zipDay } from "./zip.js";

/** A file that differs from the archive's own list of files. */
export interface ArchivedFileFault {
  /** Path in the archive. */
  readonly path: string;
  /** How it differs from the list. */
  readonly fault: "missing" | "not listed" | "changed" | "no hash" | "another time";
}

/** What an archive states about itself. */
export interface ArchiveAccount {
  /** The things that the archive describes, by id. */
  readonly entities: ReadonlyMap<string, Entity>;
  /** Paths of the files it lists, in its order. */
  readonly listed: readonly string[];
}

/** The SHA-256 of a text or of bytes: 64 hexadecimal digits. */
export function sha256(content: Uint8Array | string): string {
  return createHash("sha256").update(content).digest("hex");
}

/**
 * Reads an archive's own list of files.
 * @throws ArchiveFault when there is none, or it is not RO-Crate metadata
 */
export function archiveAccount(files: ArchiveFiles): ArchiveAccount {
  const bytes = files.get(crateName);
  if (!bytes) throw new ArchiveFault(`it has no ${crateName}, so it is not the archive of a study`);
  const entities = new Map<string, Entity>();
  for (const entity of graphOf(bytes)) {
    if (entities.has(entity["@id"])) {
      throw new ArchiveFault(`${crateName} describes ${JSON.stringify(entity["@id"])} twice`);
    }
    entities.set(entity["@id"], entity);
  }
  const listed = [...entities.values()].filter(isLocalFile).map((entity) => pathOf(entity["@id"]));
  return { entities, listed };
}

function graphOf(bytes: Uint8Array): Entity[] {
  let graph: unknown;
  try {
    graph = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes))?.["@graph"];
  } catch {
    throw new ArchiveFault(`${crateName} is not JSON`);
  }
  const sound = (entity: unknown) => typeof (entity as Entity | null)?.["@id"] === "string";
  if (Array.isArray(graph) && graph.every(sound)) return graph;
  throw new ArchiveFault(`${crateName} is not a list of described things`);
}

function isLocalFile(entity: Entity): boolean {
  return (
    [entity["@type"]].flat().includes("File") && !/^(?:[a-z][a-z0-9+.-]*:|#)/i.test(entity["@id"])
  );
}

function pathOf(id: string): string {
  try {
    return decodeURIComponent(id);
  } catch {
    return id;
  }
}

/** Compares every file with the archive's list: all listed files, unchanged, and no others. */
export function fileFaults(files: ArchiveFiles, account: ArchiveAccount): ArchivedFileFault[] {
  const listed = new Set(account.listed);
  const faults = [...account.entities.values()]
    .filter(isLocalFile)
    .flatMap((entity): ArchivedFileFault[] => {
      const path = pathOf(entity["@id"]);
      const content = files.get(path);
      if (!content) return [{ path, fault: "missing" }];
      if (typeof entity.sha256 !== "string") return [{ path, fault: "no hash" }];
      return sha256(content) === entity.sha256.toLowerCase() ? [] : [{ path, fault: "changed" }];
    });
  const others = [...files.keys()].filter((path) => path !== crateName && !listed.has(path));
  return [...faults, ...others.map((path) => ({ path, fault: "not listed" as const }))];
}

/**
 * Files that carry another time than midnight of the archive's day: an archive is written with the
 * day of its record, and nothing in it is older or newer.
 */
export function timeFaults(bytes: Uint8Array, { entities }: ArchiveAccount): ArchivedFileFault[] {
  const day = zipDay(String(entities.get("./")?.datePublished ?? ""));
  return entryTimes(bytes)
    .filter(({ times }) => times.some((time) => time !== `${day} 00:00:00`))
    .map(({ name: path }) => ({ path, fault: "another time" }));
}

/** A fault in words. */
export function fileFaultText({ path, fault }: ArchivedFileFault): string {
  if (fault === "missing") return `${path} is listed and missing`;
  if (fault === "not listed") return `${path} is not listed`;
  if (fault === "no hash") return `${path} is listed without its SHA-256, so it cannot be checked`;
  if (fault === "another time") return `${path} has a time other than the archive's day`;
  return `${path} was changed after the archive was made: its SHA-256 differs`;
}
