import type { LibraryForm, LibraryIdentity } from "./library-form.js";

/** What the README of an archive states. */
export interface ReadmeInput {
  /** Title of the study. */
  readonly title: string;
  /** Name of the study's folder. */
  readonly study: string;
  /** The question that the study asks. */
  readonly question: string;
  /** Whether the data were made by a simulator. */
  readonly simulated: boolean;
  /** Sentences about safety and limits. */
  readonly cautions: readonly string[];
  /** Paths of the notebooks. */
  readonly notebooks: readonly string[];
  /** Names of the licences. */
  readonly licences: readonly string[];
  /** Programs that made the record. */
  readonly versions: readonly { readonly name: string; readonly version: string }[];
  /** File name of the archive. */
  readonly archive: string;
  /** The library that the archive carries. */
  readonly library: LibraryIdentity;
}

/** One line of Markdown, with nothing in it that Markdown would take for its own. */
function plain(text: string): string {
  return text
    .replace(/[\\`*_{}[\]<>#|$&!]/g, "\\$&")
    .replace(/\s+/g, " ")
    .trim();
}

function code(text: string): string {
  return `\`${text.replace(/[`\s]+/g, " ")}\``;
}

const usualCaution =
  "Maximal squeezes and fast swings can cause injury. Follow local rules, ethics approval and licensed practice.";

const libraryLine: Readonly<Record<LibraryForm, (library: LibraryIdentity) => string>> = {
  source: () =>
    "the source of the library that computed them, with `package-lock.json` for its dependencies.",
  built: ({ version, digest }) =>
    `the library that computed them, with \`package-lock.json\` for its dependencies. It is carried built, as it was installed, not as sources: version ${plain(version)}, SHA-256 of the list of its files ${digest}.`,
};

/** What a person reads first in an archive: what it is, how to run it again, how to check it. */
export function readmeText(input: ReadmeInput): string {
  const { title, question, simulated, cautions, notebooks, licences, versions, archive } = input;
  const { library } = input;
  const introduction = [
    question && plain(question),
    simulated && "The data are invented: a simulator made them, and nobody was tested.",
  ].filter(Boolean);
  return `# ${plain(title)}

${introduction.join("\n\n")}

## What is inside

- \`out/index.html\`: the report. Open it in any browser; it needs no network.
- \`notebooks/\` and \`data/\`: the analysis with its recorded results, and the raw data that it read.
${notebooks.map((path) => `  - ${code(path)}`).join("\n")}
- \`lib/\`: ${libraryLine[library.form](library)}
- \`ro-crate-metadata.json\`: every file with its SHA-256, and the program that made it (RO-Crate 1.2).
- \`CITATION.cff\`: how to cite the archive.

Recorded with ${versions.map(({ name, version }) => `${plain(name)} ${plain(version)}`).join(", ")}.
${licences.length > 0 ? `Licence of the data and the text: ${licences.map(plain).join(", ")}.` : "The authors state no licence for the data and the text."}
The library in \`lib/\` is under the Apache License 2.0.

## Run it again

With Node 20.19 or newer, in this folder:

\`\`\`
npm ci
npm start
\`\`\`

\`npm start\` ${library.form === "source" ? "builds the library, " : ""}runs the notebooks and makes the report in \`out/\` again. To compare
without writing, use \`npm run verify\`: it reports for every number whether it is the same.

Notebooks are programs and run with your rights on your machine. Read them first, as you would read
any program that somebody sent you.

With the library installed, the zip file can be checked as a whole, without unpacking it:

\`\`\`
tautline verify --archive ${archive}
\`\`\`

## Before you test anybody this way

${(cautions.length > 0 ? cautions : [usualCaution]).map((text) => `- ${plain(text)}`).join("\n")}
- The data contain codes, not names. Do not try to identify the person behind a code.
`;
}
