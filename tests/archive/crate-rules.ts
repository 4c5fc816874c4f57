/**
 * What RO-Crate 1.2 says a metadata document MUST be, as checks that share no code with the writer.
 * Sources, by page of the specification at https://w3id.org/ro/crate/1.2: structure, metadata,
 * root-data-entity, data-entities, contextual-entities, provenance, workflows, appendix/jsonld.
 */
type Entity = Record<string, unknown> & { "@id": string; "@type": string | string[] };

/** Terms of the crate's context that are used here: schema.org 22.0, with File and conformsTo. */
const terms = new Set(
  `about affiliation author conformsTo contactPoint contactType contentSize dateModified datePublished description
   email encodingFormat endTime familyName givenName hasPart instrument keywords license mentions name
   object programmingLanguage result sha256 url version
   ComputerLanguage ContactPoint CreateAction CreativeWork Dataset File Person SoftwareApplication
   SoftwareSourceCode`.split(/\s+/),
);
const isoDate = /^\d{4}(-\d{2}(-\d{2}(T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:\d{2})?)?)?)?$/;
const absolute = /^[a-z][a-z0-9+.-]*:/i;
/** RFC 3986 and 3987: signs that a URI reference cannot hold, or an escape that is none. */
const notUri = /[\s<>"{}|\\^`]|%(?![0-9A-Fa-f]{2})/;

const typesOf = (entity: Entity) => [entity["@type"]].flat();
const isLocal = (id: string) => !absolute.test(id) && !id.startsWith("#") && !id.startsWith("_:");

/** Breaches of the rules, each with the page it stands on; none for a sound document. */
export function breachesOf(text: string, paths: readonly string[]): string[] {
  const found: string[] = [];
  const must = (holds: boolean, page: string, what: string) => {
    if (!holds) found.push(`${page}: ${what}`);
  };
  const document = JSON.parse(text) as { "@context": unknown; "@graph": Entity[] };
  const contexts = [document["@context"]].flat();
  must(
    contexts[0] === "https://w3id.org/ro/crate/1.2/context",
    "structure",
    "context by reference",
  );
  must(Object.keys(document).length === 2, "structure", "a graph and its context, nothing else");
  const graph = document["@graph"];
  const byId = new Map(graph.map((entity) => [entity["@id"], entity]));
  must(byId.size === graph.length, "contextual-entities", "each @id once");
  for (const entity of graph) entityRules(entity, byId, must);
  const descriptor = byId.get("ro-crate-metadata.json");
  must(descriptor?.["@type"] === "CreativeWork", "root-data-entity", "a metadata descriptor");
  const about = (descriptor?.about as { "@id"?: string } | undefined)?.["@id"] ?? "";
  const root = byId.get(about);
  must(root !== undefined, "root-data-entity", "the descriptor is about the root");
  const version = (descriptor?.conformsTo as { "@id"?: string } | undefined)?.["@id"];
  must(version === "https://w3id.org/ro/crate/1.2", "root-data-entity", "conformsTo a version");
  if (root) rootRules(root, must);
  fileRules(graph, byId, root, paths, must);
  return found;
}

type Must = (holds: boolean, page: string, what: string) => void;

function entityRules(entity: Entity, byId: ReadonlyMap<string, Entity>, must: Must): void {
  const id = entity["@id"];
  must(typeof id === "string" && id !== "", "metadata", "an @id");
  must(!notUri.test(id) && !id.split("/").includes(".."), "appendix/jsonld", `${id} as a URI`);
  must(
    typesOf(entity).every((type) => terms.has(type)),
    "metadata",
    `a known @type of ${id}`,
  );
  must(typesOf(entity).length > 0, "metadata", `an @type of ${id}`);
  for (const [property, value] of Object.entries(entity)) {
    if (property.startsWith("@")) continue;
    must(terms.has(property), "appendix/jsonld", `${property} in the context`);
    must(!Array.isArray(value) || value.length > 1, "appendix/jsonld", `${property} compacted`);
    for (const part of [value].flat()) {
      if (typeof part !== "object" || part === null) continue;
      const keys = Object.keys(part);
      must(keys.length === 1 && keys[0] === "@id", "appendix/jsonld", `${property} flattened`);
      const to = String((part as { "@id": unknown })["@id"]);
      if (!/^https?:/.test(to)) must(byId.has(to), "structure", `${to} described`);
    }
  }
  const types = typesOf(entity);
  if (types.includes("SoftwareApplication") || types.includes("ComputerLanguage")) {
    for (const part of ["name", "url", "version"]) {
      must(Boolean(entity[part]), "workflows", `${part} of ${id}`);
    }
  }
  if (types.includes("SoftwareSourceCode")) {
    must(types.includes("File") && Boolean(entity.name), "workflows", `${id} as a named script`);
  }
  if (types.includes("CreateAction")) {
    must(isoDate.test(String(entity.endTime)), "provenance", `endTime of ${id}`);
    must(entity.object !== undefined, "provenance", `object of ${id}`);
  }
}

function rootRules(root: Entity, must: Must): void {
  const page = "root-data-entity";
  must(typesOf(root).includes("Dataset"), page, "the root is a Dataset");
  must(root["@id"] === "./" || absolute.test(root["@id"]), "structure", "@id of the root");
  for (const part of ["name", "description", "license"]) must(Boolean(root[part]), page, part);
  const { datePublished } = root;
  must(typeof datePublished === "string" && isoDate.test(datePublished), page, "datePublished");
}

function fileRules(
  graph: readonly Entity[],
  byId: ReadonlyMap<string, Entity>,
  root: Entity | undefined,
  paths: readonly string[],
  must: Must,
): void {
  const reached = new Set<string>();
  const visit = (entity: Entity | undefined) => {
    for (const part of [entity?.hasPart ?? []].flat() as { "@id": string }[]) {
      if (reached.has(part["@id"])) continue;
      reached.add(part["@id"]);
      visit(byId.get(part["@id"]));
    }
  };
  visit(root);
  for (const entity of graph) {
    const id = entity["@id"];
    if (entity === root || !isLocal(id)) continue;
    const path = decodeURIComponent(id);
    if (typesOf(entity).includes("File")) {
      must(paths.includes(path), "data-entities", `${id} present`);
      must(reached.has(id), "data-entities", `${id} part of the root`);
    } else if (typesOf(entity).includes("Dataset")) {
      must(path.endsWith("/"), "data-entities", `${id} ends with a slash`);
      must(
        paths.some((file) => file.startsWith(path)),
        "data-entities",
        `${id} present`,
      );
      must(reached.has(id), "data-entities", `${id} part of the root`);
    }
  }
}
