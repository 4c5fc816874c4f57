import { itemAt } from "../entry.js";
import type { CrateContributor, CrateLicence } from "./crate-parts.js";

/** What a citation file states. */
export interface CitationInput {
  /** Title of the study. */
  readonly title: string;
  /** What the study is, in a paragraph. */
  readonly abstract: string;
  /** Version of the study, as its descriptor states it. */
  readonly version?: string | undefined;
  /** ISO date. */
  readonly date: string;
  /** Licences of the data. */
  readonly licences: readonly CrateLicence[];
  /** Authors and others who took part. */
  readonly contributors: readonly CrateContributor[];
  /** Keywords of the study. */
  readonly keywords: readonly string[];
  /** File in which the authors are to be named; the placeholder gives it. */
  readonly authorsGoTo: string;
}

/** Licences for data that the format knows by name; others are cited by their address. */
const knownLicences =
  /^(?:CC0-1\.0|CC-BY(?:-SA|-NC|-ND|-NC-SA|-NC-ND)?-[1-4]\.0|ODbL-1\.0|ODC-By-1\.0|PDDL-1\.0|MIT|Apache-2\.0)$/;

/**
 * CITATION.cff: how to cite the archive. Authors are those that the descriptor names; where
 * it names none, a placeholder says where to name them.
 * @see Druskat S et al. (2021) Citation File Format 1.2.0, doi:10.5281/zenodo.5171937
 */
export function citationText(input: CitationInput): string {
  const { contributors, licences, keywords } = input;
  const lines = [
    "cff-version: 1.2.0",
    "type: dataset",
    `message: ${text("Please cite this archive if you use its data or results.")}`,
    `title: ${text(input.title)}`,
    `abstract: ${text(input.abstract)}`,
    "authors:",
    ...(contributors.length > 0 ? contributors.map(author) : [placeholder(input.authorsGoTo)]),
    ...(input.version ? [`version: ${text(input.version)}`] : []),
    `date-released: ${text(input.date)}`,
    ...licenceLines(licences),
    ...(keywords.length > 0 ? ["keywords:", ...keywords.map((word) => `  - ${text(word)}`)] : []),
  ];
  return `${lines.join("\n")}\n`;
}

function placeholder(authorsGoTo: string): string {
  return `  - name: ${text(`(authors: name them under contributors in ${authorsGoTo})`)}`;
}

function author({ title, givenName, familyName, path, organization }: CrateContributor): string {
  const orcid = /^https:\/\/orcid\.org\/[\d-]{18}[\dX]$/.test(path ?? "") ? path : undefined;
  const name =
    givenName || familyName ? personName(givenName, familyName) : [`name: ${text(title)}`];
  const rest = [
    ...(givenName || familyName
      ? organization
        ? [`affiliation: ${text(organization)}`]
        : []
      : []),
    ...(orcid ? [`orcid: ${text(orcid)}`] : []),
  ];
  return [...name, ...rest].map((line, i) => `${i === 0 ? "  - " : "    "}${line}`).join("\n");
}

function personName(given: string | undefined, family: string | undefined): string[] {
  return [
    ...(family ? [`family-names: ${text(family)}`] : []),
    ...(given ? [`given-names: ${text(given)}`] : []),
  ];
}

function licenceLines(licences: readonly CrateLicence[]): string[] {
  if (licences.length === 0) return [];
  if (licences.every(({ name }) => knownLicences.test(name))) {
    const names = licences.map(({ name }) => name);
    return names.length === 1
      ? [`license: ${names[0]}`]
      : ["license:", ...names.map((name) => `  - ${name}`)];
  }
  return [`license-url: ${text(itemAt(licences, 0).url)}`];
}

/** A string of JSON is a string of YAML, whatever characters it contains; the exceptions are escaped. */
function text(value: string): string {
  return JSON.stringify(value).replace(/[\u007f-\u009f\u2028\u2029\ufeff]/g, (sign) => {
    return `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`;
  });
}
