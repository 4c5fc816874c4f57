import { join, relative } from "node:path";
import { descriptorName, readFolder } from "../study/files.js";
import { type Proposal, proposeMapping } from "../study/mapping/propose.js";
import { writeAtomically } from "../whole-file.js";
import { readOptions, UsageError } from "./arguments.js";
import { exitCodes, type Help, type Io, plainWords } from "./io.js";
import { mapText } from "./map-text.js";
import { namedStudy } from "./study-word.js";

export const help: Help = {
  usage: "tautline map <study> [options]",
  what: "Proposes how a lab's own files are read: which file is what, which column is which, in which unit, and what codes mean. Asks what it cannot decide.",
  options: [
    { name: "--write", what: "put the proposal into datapackage.json, once nothing is open" },
    {
      name: "--answer <answer>",
      what: 'answer to a question, as "question=answer"; may be given several times',
    },
    { name: "--json", what: "one JSON document on the standard output" },
  ],
  examples: [
    { line: "tautline map winter-block", what: "looks at every file of data/winter-block" },
    {
      line: "tautline map data/spring --write",
      what: "a study by its path; writes what was decided",
    },
  ],
};

/** Proposes the mapping of a study's files; ends with 1 while something is open or cannot be read. */
export async function run(args: string[], io: Io): Promise<number> {
  const { options, words } = readOptions(args, { write: "flag", answer: "list", json: "flag" });
  const folder = namedStudy(words, io.cwd);
  const answers = answersIn(options.answer);
  const files = readFolder(folder);
  let proposal = proposeMapping(files, answers);
  refuseStrangeAnswers(answers, proposal, options.answer);
  if (!options.json && io.chosen) proposal = await asked(proposal, { answers, files }, io);
  const open = proposal.questions.length;
  const write = options.write && open === 0 && proposal.resources.length > 0;
  if (write)
    writeAtomically(
      join(folder, descriptorName),
      `${JSON.stringify(proposal.descriptor, null, 2)}\n`,
    );
  const file = relative(io.cwd, join(folder, descriptorName));
  if (options.json) io.out(`${JSON.stringify(documentOf(proposal, write))}\n`);
  else io.out(mapText(proposal, { file, asked: options.write, written: write }));
  return open === 0 && proposal.check.study !== null ? exitCodes.fine : exitCodes.differences;
}

function answersIn(given: readonly string[]): Map<string, string> {
  return new Map(
    given.map((text) => {
      const at = text.lastIndexOf("=");
      if (at < 1)
        throw new UsageError(
          '--answer needs a question and its answer, such as "grip.csv: unit of force=kgf"',
        );
      return [text.slice(0, at), text.slice(at + 1)];
    }),
  );
}

/** An answer that was not understood is still an open question, with its choices. */
function refuseStrangeAnswers(
  answers: ReadonlyMap<string, string>,
  { questions }: Proposal,
  given: readonly string[],
): void {
  if (given.length === 0) return;
  for (const { key, choices } of questions) {
    const answer = answers.get(key);
    if (answer !== undefined)
      throw new UsageError(
        `the answer to "${key}" is one of ${choices.join(", ")}; got "${answer}"`,
      );
  }
}

/** Asks the open questions one after another; an answer may raise the next one. */
async function asked(
  first: Proposal,
  { answers, files }: { answers: Map<string, string>; files: Parameters<typeof proposeMapping>[0] },
  io: Io,
): Promise<Proposal> {
  const passed = new Set<string>();
  let proposal = first;
  for (;;) {
    const question = proposal.questions.find(
      ({ key, choices }) => !passed.has(key) && choices.length > 0,
    );
    if (!question || !io.chosen) return proposal;
    passed.add(question.key);
    const answer = await io.chosen(plainWords(question.text), question.choices);
    if (answer === undefined) continue;
    answers.set(question.key, answer);
    proposal = proposeMapping(files, answers);
  }
}

function documentOf(
  { resources, questions, unrecognised, check }: Proposal,
  written: boolean,
): object {
  const { account, issues } = check;
  return { kind: "map", resources, questions, unrecognised, written, account, issues };
}
