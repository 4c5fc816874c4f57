import { itemAt, present } from "../entry.js";
import { InputError } from "../errors.js";
import { knownOptions } from "../options.js";
import type { Specification } from "../stats/specification.js";
import { colours, type Plain, tint } from "./look.js";
import { type Plot, type Scale, titled } from "./plot.js";

/** A specification curve to draw. */
export interface SpecificationPlotInput extends Scale {
  /** From `specificationCurve`, in order of value; one of them is the planned one. */
  readonly specifications: readonly Specification[];
  /** What a reader should see for a choice or an option, by its name in the curve. */
  readonly labels?: Readonly<Record<string, string>> | undefined;
}

/** One line of the lower panel. */
interface Row {
  readonly choice: string;
  readonly option: string;
  readonly at: number;
}

/** Space between two choices, in rows. */
const gap = 0.7;

/** Every option of every choice from top to bottom, the choices a little apart. */
function rowsOf(specifications: readonly Specification[]): Row[] {
  const rows: Row[] = [];
  let at = 0;
  for (const choice of Object.keys(itemAt(specifications, 0).choice)) {
    const options = [...new Set(specifications.map((one) => present(one.choice[choice])))].sort();
    for (const option of options) rows.push({ choice, option, at: at-- });
    at -= gap;
  }
  return rows;
}

/** Whether an interval excludes zero; doubled by colour and length of the mark. */
function clear({ interval }: Specification): boolean {
  return interval.low > 0 || interval.high < 0;
}

const strength = [
  { name: "interval includes zero", isClear: false, colour: colours.control, size: 5 },
  { name: "interval excludes zero", isClear: true, colour: colours.ink, size: 9 },
] as const;

function intervalTraces(specifications: readonly Specification[]): Plain[] {
  return strength.map(({ isClear, colour }) => {
    const ofStrength = specifications
      .map((one, i) => ({ one, rank: i + 1 }))
      .filter(({ one }) => clear(one) === isClear);
    return {
      type: "scatter",
      mode: "lines",
      x: ofStrength.flatMap(({ rank }) => [rank, rank, null]),
      y: ofStrength.flatMap(({ one }) => [one.interval.low, one.interval.high, null]),
      line: { color: tint(colour, isClear ? 0.35 : 0.6), width: 1.4 },
      hoverinfo: "skip",
      showlegend: false,
    };
  });
}

/** The stair of effects; its hidden error bars are the limits in the table of the figure's numbers. */
function effectTrace(
  specifications: readonly Specification[],
  said: (name: string) => string,
): Plain {
  return {
    type: "scatter",
    mode: "lines",
    name: "effect",
    x: specifications.map((_, i) => i + 1),
    y: specifications.map(({ value }) => value),
    error_y: {
      visible: false,
      array: specifications.map(({ value, interval }) => interval.high - value),
      arrayminus: specifications.map(({ value, interval }) => value - interval.low),
    },
    text: specifications.map(({ choice }) => Object.values(choice).map(said).join(", ")),
    customdata: specifications.map(({ planned }) => (planned ? "yes" : "no")),
    meta: { columns: { x: "rank", text: "choices", customdata: "planned", y: "value" } },
    hovertemplate: "%{text}: %{y:.1f}<extra></extra>",
    line: { color: colours.ink, width: 2.2, shape: "hvh" },
    showlegend: false,
  };
}

function markTraces(specifications: readonly Specification[], rows: readonly Row[]): Plain[] {
  return strength.map(({ name, isClear, colour, size }) => {
    const marks = rows.flatMap(({ choice, option, at }) =>
      specifications.flatMap((one, i) =>
        one.choice[choice] === option && clear(one) === isClear ? [{ x: i + 1, y: at }] : [],
      ),
    );
    return {
      type: "scatter",
      mode: "markers",
      name,
      x: marks.map(({ x }) => x),
      y: marks.map(({ y }) => y),
      yaxis: "y2",
      marker: { symbol: "line-ns-open", size, color: colour, line: { width: 1.2, color: colour } },
      hoverinfo: "skip",
    };
  });
}

/** The planned specification: a ring on the curve and one on each of its choices. */
function plannedTraces(specifications: readonly Specification[], rows: readonly Row[]): Plain[] {
  const place = specifications.findIndex(({ planned }) => planned);
  const { choice, value } = itemAt(specifications, place);
  const marker = {
    symbol: "circle-open",
    color: colours.ink,
    line: { width: 2.5, color: colours.ink },
  };
  const chosen = rows.filter((row) => choice[row.choice] === row.option);
  const base = { type: "scatter", mode: "markers", hovertemplate: "planned<extra></extra>" };
  return [
    { ...base, name: "planned", x: [place + 1], y: [value], marker: { ...marker, size: 13 } },
    {
      ...base,
      x: chosen.map(() => place + 1),
      y: chosen.map(({ at }) => at),
      yaxis: "y2",
      marker: { ...marker, size: 10 },
      showlegend: false,
    },
  ];
}

/**
 * A specification curve: above, every effect in order as a stair with its interval; below, one row
 * for each option with a stroke under the specifications that took it. Long dark strokes exclude
 * zero, short grey ones do not; the planned specification is a ring in both.
 * @throws InputError when there are no specifications, or none is the planned one
 * @see Simonsohn, Simmons, Nelson (2020) Nature Human Behaviour 4:1208–1214
 * @example specificationPlot({ specifications: [{ choice: { scale: "log" }, value: 5, interval: { low: 2, high: 8, level: 0.95, method: "percentile" }, n: 24, planned: true }], quantity: "Effect", unit: "%" }).data[2].y // [5]
 */
export function specificationPlot(input: SpecificationPlotInput): Plot {
  knownOptions(input, ["specifications", "labels", "quantity", "unit"], "specificationPlot");
  const { specifications, labels = {}, quantity, unit } = input;
  if (!specifications.some(({ planned }) => planned)) {
    const got = specifications.length === 0 ? "no specification" : "none that is planned";
    throw new InputError({ expected: "a planned specification", got, where: "specificationPlot" });
  }
  const rows = rowsOf(specifications);
  const said = (name: string) => labels[name] ?? name;
  const lowest = present(rows.at(-1)).at;
  const [above, below] = [290, 19 * (1 - lowest)];
  const share = below / (above + below);
  return {
    data: [
      ...intervalTraces(specifications),
      effectTrace(specifications, said),
      ...markTraces(specifications, rows),
      ...plannedTraces(specifications, rows),
    ],
    layout: {
      height: above + below + 120,
      xaxis: {
        ...titled({ quantity: "Specifications in order of their effect", unit: "rank" }),
        anchor: "y2",
        range: [0, specifications.length + 1],
        showgrid: false,
      },
      yaxis: { ...titled({ quantity, unit }), domain: [share + 0.03, 1] },
      yaxis2: {
        domain: [0, share - 0.01],
        tickvals: rows.map(({ at }) => at),
        ticktext: rows.map(({ choice, option }) => `${said(choice)}: ${said(option)}`),
        tickfont: { size: 11 },
        range: [lowest - 0.6, 0.6],
        showgrid: false,
        ticks: "",
        showline: false,
      },
      shapes: [
        {
          type: "line",
          xref: "paper",
          x0: 0,
          x1: 1,
          y0: 0,
          y1: 0,
          line: { color: colours.ink, width: 1 },
        },
      ],
    },
  };
}
