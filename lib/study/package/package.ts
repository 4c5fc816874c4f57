import { readStudyRecord, type StudyRecord } from "./design.js";
import { isRecord, JsonParts, type PackageFault } from "./json-parts.js";
import { checkPackage } from "./profile.js";
import { type Resource, readResources } from "./resource.js";

/** datapackage.json of a study, read and typed. */
export interface StudyPackage {
  readonly name: string;
  readonly title: string;
  readonly study: StudyRecord;
  readonly resources: readonly Resource[];
}

export interface PackageResult {
  /** Null when anything is wrong with the descriptor. */
  readonly package: StudyPackage | null;
  readonly faults: readonly PackageFault[];
}

/**
 * Reads datapackage.json: a Data Package v2 descriptor with our `study` property.
 * @see https://datapackage.org/standard/data-package/
 */
export function readPackage(text: string): PackageResult {
  const parts = new JsonParts();
  const root = parse(text);
  if (root instanceof Error) {
    const fault = { where: "", value: root.message.slice(0, 120), expected: "valid JSON" };
    return { package: null, faults: [{ code: "package-unreadable", ...fault }] };
  }
  if (!isRecord(root) || !isRecord(root.study)) {
    parts.fault("study", root, "a record with `resources` and our `study` property");
    return { package: null, faults: parts.faults };
  }
  const name = parts.text(root, "name", "") || "study";
  const title = parts.text(root, "title", "") || name;
  const study = readStudyRecord(parts, root.study, title);
  const resources = readResources(parts, root.resources);
  addStandardFaults(parts, root);
  const sound = parts.faults.length === 0;
  return { package: sound ? { name, title, study, resources } : null, faults: parts.faults };
}

/** Breaches of the standard, but for places where something more telling was said already. */
function addStandardFaults(parts: JsonParts, root: unknown): void {
  const said = new Set(parts.faults.map(({ where }) => where));
  for (const { where, value, expected, rule } of checkPackage(root).faults)
    if (rule === "must" && !said.has(where))
      parts.faults.push({ code: "package-incomplete", where, value, expected });
}

/** Records nested deeper than this are no descriptor, and could exhaust whatever walks them. */
const deepest = 60;

function parse(text: string): unknown {
  if (depthOf(text) > deepest) return new Error(`nested more than ${deepest} deep`);
  try {
    return JSON.parse(text.replace(/^\ufeff/, ""));
  } catch (error) {
    return error instanceof Error ? error : new Error("not JSON");
  }
}

/** How deep brackets open outside of texts. */
function depthOf(text: string): number {
  let depth = 0;
  let most = 0;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const letter = text[i];
    if (quoted && letter === "\\") i++;
    else if (letter === '"') quoted = !quoted;
    else if (!quoted && (letter === "[" || letter === "{")) most = Math.max(most, ++depth);
    else if (!quoted && (letter === "]" || letter === "}")) depth--;
  }
  return most;
}
