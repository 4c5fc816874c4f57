import type { StudyOutline } from "../../study/package/study-outline.js";

/** A cell before its first run. */
export interface CellDraft {
  /** Id of the cell, unique in its notebook. */
  readonly id: string;
  /** Text in Markdown, or code. */
  readonly type: "markdown" | "code";
  /** Markdown or TypeScript. */
  readonly source: string;
}

/** A notebook before its first run. */
export interface NotebookDraft {
  /** Name of the file without its extension; the number gives its place among the questions. */
  readonly name: string;
  /** The cells from top to bottom; the first opens with the question. */
  readonly cells: readonly CellDraft[];
}

/** A cell of text. */
export function text(id: string, source: string): CellDraft {
  return { id, type: "markdown", source };
}

/** A cell of code, line by line. */
export function code(id: string, ...lines: string[]): CellDraft {
  return { id, type: "code", source: lines.join("\n") };
}

/** The parts of a notebook that a design asks for; the others are left out. */
export function when(asked: boolean, ...cells: CellDraft[]): CellDraft[] {
  return asked ? cells : [];
}

/** Whether the study has nothing to compare its golfers with. */
export function hasOneArm({ design }: StudyOutline): boolean {
  return design.arms.length < 2;
}

/** Whether golfers were tested more than once, so that something can change. */
export function hasVisits({ design }: StudyOutline): boolean {
  return design.occasions.length > 1;
}

/** Whether swings are measured: the design names a club and the descriptor a file of swings. */
export function hasSwings({ design, resources }: StudyOutline): boolean {
  return design.clubs.length > 0 && resources.includes("swing-trials");
}

/** Whether grip is measured: the design names hand and position and the descriptor a file of trials. */
export function hasGrip({ design, resources }: StudyOutline): boolean {
  const { hands, positions } = design;
  return hands.length > 0 && positions.length > 0 && resources.includes("grip-trials");
}

/**
 * A notebook of one study: the question, a cell that opens the study, then the others. The import
 * names every function that a cell calls.
 */
export function notebookOfStudy(
  name: string,
  study: StudyOutline,
  question: CellDraft,
  cells: readonly CellDraft[],
): NotebookDraft {
  const opens = `const study = openStudy(${JSON.stringify(study.name)});`;
  const open = code("open", importLines(["openStudy", ...calledIn(cells)]), "", opens);
  return { name, cells: [question, open, ...cells] };
}

/** The functions that the cells call by their bare name. */
export function calledIn(cells: readonly CellDraft[]): string[] {
  const sources = cells.filter(({ type }) => type === "code").map(({ source }) => source);
  return sources.flatMap((source) =>
    [...source.matchAll(/(?<![.\w])([a-z]\w*)\(/g)].flatMap(([, called]) => called ?? []),
  );
}

/** An import of these names, each once and in order, in lines of at most 100 characters. */
export function importLines(called: readonly string[]): string {
  const names = [...new Set(called)].sort((a, b) => a.localeCompare(b, "en"));
  const one = `import { ${names.join(", ")} } from "tautline";`;
  if (one.length <= 100) return one;
  const lines: string[] = [];
  for (const name of names) {
    const longer = `${lines.at(-1) ?? " "} ${name},`;
    if (longer.length <= 100) lines.splice(-1, 1, longer);
    else lines.push(`  ${name},`);
  }
  return `import {\n${lines.join("\n")}\n} from "tautline";`;
}

/** The outcome of grip that a cell asks for: the primary one, or the first hand and position. */
export function gripSource({ design, plan }: StudyOutline): string {
  if (plan.primary?.outcome === "grip") return "study.primary";
  const choice = [
    design.hands.length > 1 ? `hand: ${JSON.stringify(design.hands[0])}` : "",
    design.positions.length > 1 ? `position: ${JSON.stringify(design.positions[0]?.id)}` : "",
  ].filter((part) => part !== "");
  return choice.length === 0
    ? 'study.outcome("grip")'
    : `study.outcome("grip", { ${choice.join(", ")} })`;
}

/** The outcome of club speed that a cell asks for: the primary one, or that of the first club. */
export function speedSource({ design, plan }: StudyOutline): string {
  if (plan.primary?.outcome === "speed") return "study.primary";
  const club = JSON.stringify(design.clubs[0]);
  return design.clubs.length > 1
    ? `study.outcome("speed", { club: ${club} })`
    : 'study.outcome("speed")';
}
