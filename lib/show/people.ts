import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import type { Labels, Numbers } from "../stats/estimate.js";
import { colours, type Plain, type Role, tint } from "./look.js";
import { dots, list, names, type Plot, roleMark, type Scale, sameRows, titled } from "./plot.js";
import { valueText } from "./wording.js";

/** One arm measured twice. */
export interface PairedArm {
  /** Name above the arm's part of the plot. */
  readonly name: string;
  /** First measurement of each golfer, in the unit of the scale. */
  readonly before: Numbers;
  /** Second measurement, the same golfers in the same order. */
  readonly after: Numbers;
  /** Code of each golfer, shown when a dot is pointed at. */
  readonly participant?: Labels | undefined;
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role?: Role | undefined;
}

/** Arms whose golfers were measured twice. */
export interface PairedDotsInput extends Scale {
  /** The arms from left to right. */
  readonly arms: readonly PairedArm[];
  /** What the two measurements are called, such as "week 0" and "week 6". */
  readonly occasions: readonly [string, string];
}

function joined(arm: PairedArm, at: number): { x: (number | null)[]; y: (number | null)[] } {
  const x: (number | null)[] = [];
  const y: (number | null)[] = [];
  for (let i = 0; i < arm.before.length; i++) {
    x.push(at, at + 1, null);
    y.push(itemAt(arm.before, i), itemAt(arm.after, i), null);
  }
  return { x, y };
}

function pairedTraces(
  arm: PairedArm,
  index: number,
  occasions: readonly [string, string],
): Plain[] {
  const n = sameRows(`pairedDots, arm ${arm.name}`, arm.before, arm.after);
  const role = arm.role ?? "dot";
  const at = index * 3;
  const people = names(arm.participant, n);
  const values = [...list(arm.before), ...list(arm.after)];
  return [
    {
      type: "scatter",
      mode: "lines",
      ...joined(arm, at),
      line: { color: tint(roleMark(role).colour, 0.45), width: 1.2, dash: roleMark(role).dash },
      hoverinfo: "skip",
      showlegend: false,
      meta: { columns: {} },
    },
    {
      type: "scatter",
      mode: "markers",
      name: arm.name,
      x: values.map((_, i) => (i < n ? at : at + 1)),
      y: values,
      text: values.map((_, i) => itemAt(people, i % n)),
      customdata: values.map((_, i) => itemAt(occasions, i < n ? 0 : 1)),
      hovertemplate: "%{text}, %{customdata}: %{y}<extra></extra>",
      marker: dots(role),
      meta: { columns: { name: "arm", text: "golfer", customdata: "occasion", y: "value" } },
    },
  ];
}

/** A label in lines of about a dozen letters, broken at spaces. */
function wrapped(label: string): string {
  return label.replace(/(\S(?:.{0,11}\S)?)\s+(?=\S)/g, (whole, line) =>
    line.length > 4 ? `${line}<br>` : whole,
  );
}

/**
 * Every person of every arm as two dots joined by a line: before and after. No summary is drawn.
 * @example pairedDots({ arms: [{ name: "grip", before: [40], after: [43] }], occasions: ["week 0", "week 6"], quantity: "Grip force", unit: "kgf" }).data.length // 2
 */
export function pairedDots(input: PairedDotsInput): Plot {
  knownOptions(input, ["arms", "occasions", "quantity", "unit"], "pairedDots");
  const { arms, occasions, quantity, unit } = input;
  const headed = arms.length > 1;
  const frame = frameWithout(
    arms.flatMap(({ before, after }) => [...list(before), ...list(after)]),
  );
  return {
    data: arms.flatMap((arm, i) => pairedTraces(arm, i, occasions)),
    layout: {
      xaxis: {
        tickvals: arms.flatMap((_, i) => [i * 3, i * 3 + 1]),
        ticktext: arms.flatMap(() => occasions.map(wrapped)),
        tickangle: 0,
        range: [-0.6, arms.length * 3 - 1.4],
        showgrid: false,
      },
      yaxis: { ...titled({ quantity, unit }), ...(frame && { range: frame }) },
      showlegend: false,
      annotations: [
        ...(headed ? arms.map((arm, i) => heading(arm.name, i * 3 + 0.5)) : []),
        ...(frame ? arms.flatMap((arm, i) => beyond(arm, i * 3, frame, unit)) : []),
      ],
    },
  };
}

/** Values this many times the middle half's width outside it would flatten all the others. */
const farOut = 4;

/** The span of the axis where single values lie so far out that they would flatten the rest. */
function frameWithout(values: readonly number[]): [number, number] | undefined {
  const sorted = [...values].sort((a, b) => a - b);
  if (sorted.length < 8) return undefined;
  const at = (share: number) => itemAt(sorted, Math.round(share * (sorted.length - 1)));
  const width = at(0.75) - at(0.25);
  const isIn = (value: number) =>
    value >= at(0.25) - farOut * width && value <= at(0.75) + farOut * width;
  const kept = sorted.filter(isIn);
  if (width === 0 || kept.length === sorted.length) return undefined;
  const [low, high] = [itemAt(kept, 0), itemAt(kept, kept.length - 1)];
  const edge = 0.1 * (high - low);
  return [low - edge, high + edge];
}

/** An arrow with golfer and value for every dot outside the frame. */
function beyond(arm: PairedArm, at: number, [low, high]: [number, number], unit: string): Plain[] {
  const people = names(arm.participant, arm.before.length);
  return [arm.before, arm.after].flatMap((column, side) =>
    list(column).flatMap((value, i) =>
      value >= low && value <= high
        ? []
        : [
            {
              text: `${people[i]}: ${valueText({ value }, unit)}`,
              x: at + side,
              y: value > high ? high : low,
              ax: side === 0 ? -6 : 6,
              ay: value > high ? 22 : -22,
              xanchor: side === 0 ? "right" : "left",
              arrowhead: 2,
              arrowwidth: 1.2,
              arrowcolor: colours.ink,
            },
          ],
    ),
  );
}

/** A name over its part of the plot. */
function heading(name: string, at: number): Plain {
  return { text: name, x: at, y: 1, yref: "paper", yanchor: "bottom", yshift: 4, showarrow: false };
}
