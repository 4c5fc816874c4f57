export interface ReadmeInput {
  readonly title: string;
  readonly study: string;
  readonly question: string;
  readonly simulated: boolean;
  readonly cautions: readonly string[];
  readonly notebooks: readonly string[];
  readonly licences: readonly string[];
  readonly versions: readonly { readonly name: string; readonly version: string }[];
  readonly archive: string;
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
  "Hardest squeezes and fast swings can hurt. Local rules, ethics approval and licensed practice come first.";

/** What a person reads first in a package: what it is, how to run it again, how to check it. */
export function readmeText(input: ReadmeInput): string {
  const { title, question, simulated, cautions, notebooks, licences, versions, archive } = input;
  const said = [
    question && plain(question),
    simulated && "The data are invented: a simulator made them, and nobody was tested.",
  ].filter(Boolean);
  return `# ${plain(title)}

${said.join("\n\n")}

## What is inside

- \`out/index.html\`: the report. Open it in any browser; it needs no network.
- \`notebooks/\` and \`data/\`: the analysis with its recorded results, and the raw data it read.
${notebooks.map((path) => `  - ${code(path)}`).join("\n")}
- \`lib/\`: the source of the library that computed them, with \`package-lock.json\` for all it needs.
- \`ro-crate-metadata.json\`: every file with its SHA-256, and which program made what (RO-Crate 1.2).
- \`CITATION.cff\`: how to cite the package.

Recorded with ${versions.map(({ name, version }) => `${plain(name)} ${plain(version)}`).join(", ")}.
${licences.length > 0 ? `Licence of the data and the text: ${licences.map(plain).join(", ")}.` : "The authors state no licence for the data and the text."}
The library in \`lib/\` is under the Apache License 2.0.

## Run it again

With Node 20.19 or newer, in this folder:

\`\`\`
npm ci
npm start
\`\`\`

\`npm start\` builds the library, runs the notebooks and makes the report in \`out/\` anew. To compare
without writing, \`npm run verify\`: it says of every number whether it came out the same.

Notebooks are programs. They run with your rights on your machine: look at them first, as at any
program that you were sent.

With the library installed, the zip file can be checked as a whole, without unpacking it:

\`\`\`
tautline verify --pack ${archive}
\`\`\`

## Before anybody is tested this way

${(cautions.length > 0 ? cautions : [usualCaution]).map((text) => `- ${plain(text)}`).join("\n")}
- The data hold codes, not names. Do not try to find out who is behind a code.
`;
}
