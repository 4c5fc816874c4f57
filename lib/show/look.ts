/** The palette. Hues stay apart for colour-blind readers and are always doubled by shape or dash. */
export const colours = {
  paper: "#fbfaf6",
  ink: "#1d2733",
  soft: "#525d6a",
  lead: "#0b6e69",
  trail: "#b5532d",
  speed: "#3f4a9a",
  control: "#7a8694",
  rule: "#e3dfd4",
} as const;

/**
 * What a mark stands for; it decides colour, shape and dash together. Four families that never
 * overlap: hand (lead, trail), speed, arm (trained, control), and for everything else the neutral
 * dot, ring and tick, which say nothing without a label.
 */
export type Role = "lead" | "trail" | "speed" | "trained" | "control" | "dot" | "ring" | "tick";

/** How a role looks in a figure. */
export interface Mark {
  /** Colour of dots and lines, hexadecimal. */
  readonly colour: string;
  /** Shape of the dots, by its name in Plotly. */
  readonly symbol: string;
  /** Dash of the lines, by its name in Plotly. */
  readonly dash: string;
}

/** Colour, symbol and dash of each role; no role differs from another by colour alone. */
export const marks: Readonly<Record<Role, Mark>> = {
  lead: { colour: colours.lead, symbol: "circle", dash: "solid" },
  trail: { colour: colours.trail, symbol: "diamond-open", dash: "dash" },
  speed: { colour: colours.speed, symbol: "square", dash: "solid" },
  trained: { colour: colours.ink, symbol: "triangle-up", dash: "solid" },
  control: { colour: colours.control, symbol: "triangle-up-open", dash: "dot" },
  dot: { colour: colours.ink, symbol: "circle", dash: "solid" },
  ring: { colour: colours.ink, symbol: "circle-open", dash: "dash" },
  tick: { colour: colours.ink, symbol: "line-ns-open", dash: "dot" },
};

/** A coordinate of a drawing, to a tenth of a pixel. */
export function px(value: number): string {
  return String(Math.round(Number(value) * 10) / 10);
}

/**
 * The outline of a mark around (x, y) as the data of an SVG path: a circle, or the diamond, square,
 * triangle or tick of `marks`, each about as large to the eye as a circle of radius r.
 */
export function markPath(role: Role | "ink", x: number, y: number, r: number): string {
  const at = `M${px(x)} ${px(y)}`;
  if (role === "trail")
    return `${at}m0 ${px(-1.3 * r)}l${px(1.3 * r)} ${px(1.3 * r)} ${px(-1.3 * r)} ${px(1.3 * r)} ${px(-1.3 * r)} ${px(-1.3 * r)}z`;
  if (role === "speed") return `${at}m${px(-r)} ${px(-r)}h${px(2 * r)}v${px(2 * r)}h${px(-2 * r)}z`;
  if (role === "trained" || role === "control")
    return `${at}m${px(-1.1 * r)} ${px(0.8 * r)}h${px(2.2 * r)}l${px(-1.1 * r)} ${px(-1.9 * r)}z`;
  if (role === "tick") return `${at}m0 ${px(-1.3 * r)}v${px(2.6 * r)}`;
  return `${at}m${px(-r)} 0a${px(r)} ${px(r)} 0 1 0 ${px(2 * r)} 0a${px(r)} ${px(r)} 0 1 0 ${px(-2 * r)} 0`;
}

/** The family that the drawing metrics are taken from, then faces of the same widths. */
export const figureFont = "DejaVu Sans, Verdana, Geneva, sans-serif";

/** A palette colour as plotly wants a translucent one. */
export function tint(colour: string, opacity: number): string {
  const [r, g, b] = [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16));
  return `rgba(${r}, ${g}, ${b}, ${opacity})`;
}

/** An axis title: quantity, then unit in brackets; no brackets when there is no unit. */
export function axisTitle(quantity: string, unit: string): string {
  return unit === "" ? quantity : `${quantity} (${unit})`;
}

/** A record of plain JSON values. */
export type Plain = Record<string, unknown>;

const axisLook: Plain = {
  automargin: true,
  gridcolor: colours.rule,
  gridwidth: 1,
  linecolor: colours.ink,
  showline: true,
  ticks: "outside",
  ticklen: 4,
  tickcolor: colours.ink,
  zeroline: false,
  title: { standoff: 10, font: { size: 14 } },
};

const baseLayout: Plain = {
  paper_bgcolor: colours.paper,
  plot_bgcolor: colours.paper,
  font: { family: figureFont, size: 13, color: colours.ink },
  colorway: [colours.ink, colours.soft, colours.control],
  margin: { l: 64, r: 20, t: 28, b: 56 },
  legend: {
    orientation: "h",
    x: 0,
    y: 1.02,
    yanchor: "bottom",
    xanchor: "left",
    tracegroupgap: 0,
  },
  hoverlabel: { font: { family: figureFont } },
  separators: ". ",
  colorscale: {
    sequential: [
      [0, colours.paper],
      [1, colours.lead],
    ],
    diverging: [
      [0, colours.trail],
      [0.5, colours.paper],
      [1, colours.lead],
    ],
  },
};

function isPlain(value: unknown): value is Plain {
  return value !== null && typeof value === "object" && !Array.isArray(value);
}

/** Lays `over` on `under`, record by record; what `over` says wins. */
function laidOver(under: Plain, over: Plain): Plain {
  const result: Plain = { ...under };
  for (const [key, value] of Object.entries(over)) {
    const below = result[key];
    result[key] = isPlain(below) && isPlain(value) ? laidOver(below, value) : value;
  }
  return result;
}

/** The caller's layout on top of the house look; an axis title may be given as a bare text. */
export function withLook(layout: Plain, axes: readonly string[]): Plain {
  let result = laidOver(baseLayout, layout);
  for (const axis of axes) {
    const given = isPlain(layout[axis]) ? (layout[axis] as Plain) : {};
    const title = typeof given.title === "string" ? { text: given.title } : (given.title ?? {});
    result = { ...result, [axis]: laidOver(axisLook, { ...given, title }) };
  }
  if (typeof result.title === "string") result.title = { text: result.title };
  return result;
}
