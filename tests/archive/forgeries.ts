import { strFromU8, strToU8 } from "fflate";
import { sha256 } from "../../lib/archive/hashes.js";
import { writeArchive } from "../../lib/archive/zip.js";
import { parseNotebook, writeNotebook } from "../../lib/notebook/nbformat.js";
import { type RandomStream, randomStream } from "../../lib/num/random.js";
import { forgeries } from "../notebook/forgeries.js";

/** An archive in which one visible digit or word was changed, and every hash of it corrected. */
export interface ForgedArchive {
  readonly bytes: Uint8Array;
  readonly kind: ForgeryKind;
  /** What was changed, for the message of a test. */
  readonly what: string;
}

type Files = ReadonlyMap<string, Uint8Array>;
type Entity = Record<string, unknown>;

const metadata = "ro-crate-metadata.json";
export const forgeryKinds = [
  "page",
  "record",
  "numbers",
  "data",
  "description",
  "metadata",
] as const;
export type ForgeryKind = (typeof forgeryKinds)[number];

/** Makes forgeries of one archive, of each kind in turn. */
export function forgedArchives(files: Files, count: number, seed: number): ForgedArchive[] {
  const random = randomStream(seed);
  return Array.from({ length: count }, (_, i) => {
    const kind = forgeryKinds[i % forgeryKinds.length]!;
    const { path, content, what } = forged(files, kind, random);
    const bytes = writeArchive(corrected(files, path, content), "2026-02-01");
    return { bytes, kind, what: `${path}: ${what}` };
  });
}

interface Forged {
  readonly path: string;
  readonly content: string;
  readonly what: string;
}

const pathsOf: Readonly<Record<ForgeryKind, RegExp>> = {
  page: /^out\/.*\.html$/,
  record: /\.ipynb$/,
  numbers: /^out\/assets\/.*\.csv$/,
  data: /^data\/.*\.csv$/,
  description: /^(?:README\.md|CITATION\.cff)$/,
  metadata: /^ro-crate-metadata\.json$/,
};

function forged(files: Files, kind: ForgeryKind, random: RandomStream): Forged {
  const paths = [...files.keys()].filter((path) => pathsOf[kind].test(path));
  const path = paths[random.below(paths.length)]!;
  const text = strFromU8(files.get(path)!);
  if (kind === "record") {
    const [forgery] = forgeries(parseNotebook(text), 1, random.below(1_000_000));
    return { path, content: writeNotebook(forgery!.notebook), what: forgery!.what };
  }
  if (kind === "metadata") return { path, ...forgedMetadata(text, random) };
  return { path, ...changedText(text, kind === "page", random) };
}

/** One digit or letter of one value of one described thing is another. */
function forgedMetadata(text: string, random: RandomStream): Omit<Forged, "path"> {
  const document = JSON.parse(text) as { "@graph": Entity[] };
  const places = document["@graph"].flatMap((entity) =>
    Object.entries(entity)
      .filter(([, value]) => typeof value === "string" && /[A-Za-z0-9]/.test(value))
      .map(([key]) => [entity, key] as const),
  );
  const [entity, key] = places[random.below(places.length)]!;
  const { content, what } = changedText(String(entity[key]), false, random);
  const id = entity["@id"];
  entity[key] = content;
  return { content: JSON.stringify(document, null, 1), what: `${key} of ${id}: ${what}` };
}

/** Another digit or letter in a place that a reader sees: on a page, between the tags. */
function changedText(
  text: string,
  isPage: boolean,
  random: RandomStream,
): Pick<Forged, "content" | "what"> {
  const hidden = /<head[\s\S]*?<\/head>|<(style|script)[\s\S]*?<\/\1>|<[^>]*>|&\w+;|&#\w+;/g;
  const masked = isPage ? text.replace(hidden, (part) => " ".repeat(part.length)) : text;
  const places = [...masked.matchAll(/[A-Za-z0-9]/g)].map(({ index }) => index);
  const at = places[random.below(places.length)]!;
  const before = text[at]!;
  const after = /\d/.test(before)
    ? String((Number(before) + 1 + random.below(9)) % 10)
    : before === "x"
      ? "y"
      : "x";
  const around = text.slice(Math.max(0, at - 12), at + 12);
  return {
    content: `${text.slice(0, at)}${after}${text.slice(at + 1)}`,
    what: `${before} → ${after} in “${around}”`,
  };
}

/**
 * The archive with one file replaced. The forger corrects the list of hashes, and the page on which
 * the hashes of notebooks and data stand.
 */
function corrected(files: Files, path: string, content: string): Files {
  const changed = new Map(files).set(path, strToU8(content));
  if (path === metadata) return changed;
  const [before, after] = [files.get(path)!, changed.get(path)!].map(sha256) as [string, string];
  const versions = "out/versions.html";
  const page = strFromU8(changed.get(versions)!);
  if (path !== versions) changed.set(versions, strToU8(page.replaceAll(before, after)));
  const document = JSON.parse(strFromU8(files.get(metadata)!)) as { "@graph": Entity[] };
  for (const entity of document["@graph"]) {
    const now = changed.get(decodeURIComponent(String(entity["@id"])));
    if (!now || entity.sha256 === undefined) continue;
    entity.sha256 = sha256(now);
    entity.contentSize = String(now.length);
  }
  return changed.set(metadata, strToU8(JSON.stringify(document, null, 1)));
}
