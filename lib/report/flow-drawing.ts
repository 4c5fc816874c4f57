import { type Markup, markup, nothing } from "../markup.js";
import type { AnalysisDone } from "../show/analysis-done.js";
import { colours, figureFont } from "../show/look.js";
import type { ArmFlow, PeopleFlow } from "../study/tables/flow.js";
import type { FigureData } from "./figure-data.js";
import { inComparison, placeWords } from "./flow-words.js";
import { type LetterWidths, textWidth } from "./letter-widths.js";

/** One box of the flow: those who went on, or those who left. */
interface Step {
  /** What the golfers of the box did. */
  readonly words: string;
  /** How many they are. */
  readonly people: number;
  /** Why they left; left out for those who went on. */
  readonly reason?: string;
}

const counted = (people: number) => `${people} ${people === 1 ? "golfer" : "golfers"}`;

/** The steps of an arm in their order, every loss between the visits where it happened. */
function stepsOf(arm: ArmFlow, analysed: number, words: string): Step[] {
  const lost = (before: string | undefined): Step[] =>
    arm.withdrew
      .filter((loss) => loss.before === before)
      .map((loss) => {
        return { words: `withdrew ${placeWords(loss)}`, people: loss.people, reason: loss.reason };
      });
  const visits = arm.seen.flatMap(({ occasion, people, missed }): Step[] => [
    ...lost(occasion),
    { words: `measured: ${occasion}`, people },
    ...(missed > 0
      ? [{ words: `not measured: ${occasion}`, people: missed, reason: "visit missed" }]
      : []),
  ]);
  return [
    { words: `enrolled: ${arm.title}`, people: arm.enrolled },
    ...visits,
    ...lost(undefined),
    { words, people: analysed },
  ];
}

/** The flow of participants as a table: one row for each box. */
export function flowData(flow: PeopleFlow, done: AnalysisDone): FigureData {
  const { people, words } = inComparison(flow, done);
  return {
    columns: ["arm", "step", "golfers", "reason"],
    rows: flow.arms.flatMap((arm, i) =>
      stepsOf(arm, people[i] ?? 0, words).map((step) => [
        arm.title,
        step.words,
        step.people,
        step.reason ?? "",
      ]),
    ),
  };
}

const size = 11.3;
const lineHeight = 15;
const inside = 7;
const gap = 14;
const leastArm = 130;

/** Size, colour behind, and letters of a drawing of the flow. */
export interface FlowPaper {
  /** Width, px. */
  readonly width: number;
  /** Colour behind the boxes. */
  readonly background: string;
  /** The measures of the figures' font. */
  readonly letters: LetterWidths;
}

/**
 * The flow of participants as a drawing: a column of boxes for each arm, side by side where there is
 * room and else below one another. Those who left stand in broken frames, to the right.
 */
export function flowDrawing(
  { flow, done, title }: { flow: PeopleFlow; done: AnalysisDone; title: string },
  { width, background, letters }: FlowPaper,
): string {
  const { people, words } = inComparison(flow, done);
  const edge = 8;
  const room = width - 2 * edge;
  const across = Math.max(1, Math.min(flow.arms.length, Math.floor((room + gap) / leastArm)));
  const armWidth = (room - gap * (across - 1)) / across;
  const boxes: Markup[] = [];
  const top = box(`${counted(flow.enrolled)} enrolled`, { x: edge, y: edge, width: room }, letters);
  boxes.push(top.drawing);
  let lowest = edge + top.height;
  for (let first = 0; first < flow.arms.length; first += across) {
    const from = lowest;
    for (const [k, arm] of flow.arms.slice(first, first + across).entries()) {
      const x = edge + k * (armWidth + gap);
      const steps = stepsOf(arm, people[first + k] ?? 0, words);
      const drawn = column(steps, { x, y: from, width: armWidth }, letters);
      boxes.push(drawn.drawing);
      lowest = Math.max(lowest, drawn.bottom);
    }
  }
  const height = Math.ceil(lowest + edge);
  const said = flow.arms
    .map((arm, i) => `${arm.title}: ${arm.enrolled} enrolled, ${people[i] ?? 0} ${words}`)
    .join("; ");
  return String(
    markup`<svg role="img" aria-labelledby="flow-title flow-desc" xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><title id="flow-title">Flow of participants: ${title}</title><desc id="flow-desc">${said}.</desc><rect x="0" y="0" width="${width}" height="${height}" fill="${background}"/><g font-family="${figureFont}" font-size="${size}" fill="${colours.ink}">${boxes}</g></svg>`,
  );
}

interface Place {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

/** The boxes of an arm below one another, each hanging from the one above by a line. */
function column(
  steps: readonly Step[],
  { x, y, width }: Place,
  letters: LetterWidths,
): { drawing: Markup; bottom: number } {
  const parts: Markup[] = [];
  const middle = x + 20;
  let bottom = y;
  let above = y;
  for (const { words, people, reason } of steps) {
    const indent = reason === undefined ? 0 : 32;
    const text = reason === undefined ? "" : `: ${reason}`;
    const place = { x: x + indent, y: bottom + gap, width: width - indent };
    const drawn = box(`${counted(people)} ${words}${text}`, place, letters, reason !== undefined);
    if (reason === undefined) {
      parts.push(rule(middle, above, middle, place.y));
      above = place.y + drawn.height;
    } else {
      const level = place.y + drawn.height / 2;
      parts.push(rule(middle, level, place.x, level));
    }
    parts.push(drawn.drawing);
    bottom = place.y + drawn.height;
  }
  return { drawing: markup`${parts}`, bottom };
}

function rule(x1: number, y1: number, x2: number, y2: number): Markup {
  return markup`<line x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}" stroke="${colours.ink}"/>`;
}

function box(
  text: string,
  { x, y, width }: Place,
  letters: LetterWidths,
  left = false,
): { drawing: Markup; height: number } {
  const lines = linesOf(text, width - 2 * inside, letters);
  const height = lines.length * lineHeight + inside;
  const frame = left ? markup` stroke-dasharray="4 3"` : nothing;
  const words = lines.map(
    (line, i) =>
      markup`<text x="${x + inside}" y="${y + inside / 2 + lineHeight * (i + 0.76)}">${line}</text>`,
  );
  return {
    drawing: markup`<rect x="${x}" y="${y}" width="${width}" height="${height}" fill="none" stroke="${colours.ink}"${frame}/>${words}`,
    height,
  };
}

/** A text in lines that are no wider than a box; a longer word stands alone. */
function linesOf(text: string, width: number, letters: LetterWidths): string[] {
  const lines: string[] = [];
  for (const word of text.split(" ")) {
    const last = lines.at(-1);
    const longer = `${last} ${word}`;
    if (last !== undefined && textWidth(longer, { size, bold: false }, letters) <= width)
      lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}
