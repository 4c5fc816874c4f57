import {
  checklistSection,
  declarationsSection,
  discussionSection,
  referencesSection,
} from "./closing-sections.js";
import { type Block, type Draft, inlinesOf, Numbering } from "./draft.js";
import { frontMatter, manuscriptTitle } from "./front-matter.js";
import { type MethodReference, methodReferences } from "./method-references.js";
import { methodsSection } from "./methods-section.js";
import { resultsSection } from "./results-section.js";
import type { ManuscriptFacts } from "./study-facts.js";

/** A manuscript and the references that it cites, in the order of their numbers. */
export interface NumberedDraft extends Draft {
  /** References in the order in which the text cites them. */
  readonly references: readonly MethodReference[];
}

/** The whole manuscript from the record: the same facts make the same draft. */
export function manuscriptDraft(facts: ManuscriptFacts): NumberedDraft {
  const numbering = new Numbering();
  const body = [
    ...frontMatter(facts),
    ...methodsSection(facts, numbering),
    ...resultsSection(facts, numbering),
    ...discussionSection(facts),
    ...declarationsSection(facts),
  ];
  const references = citedIn(body);
  return {
    study: facts.study.name,
    title: manuscriptTitle(facts),
    day: facts.day,
    references,
    blocks: [
      ...body,
      ...referencesSection(references),
      ...checklistSection(facts.checklist, numbering.nextTable()),
    ],
  };
}

function citedIn(blocks: readonly Block[]): MethodReference[] {
  const keys = blocks
    .flatMap(inlinesOf)
    .flatMap((piece) => (piece.kind === "citation" ? piece.references : []));
  return [...new Set(keys)].flatMap(
    (key) => methodReferences.find((reference) => reference.key === key) ?? [],
  );
}

/** The number of a reference in the text. */
export function referenceNumber({ references }: Pick<NumberedDraft, "references">) {
  return (key: string): number => references.findIndex((reference) => reference.key === key) + 1;
}
