/** Traces and layout as plotly takes them. */
export interface FigureParts {
  /** The traces. */
  readonly data: readonly object[];
  /** The layout. */
  readonly layout: object;
}

type Plain = Record<string, unknown>;

/** Width of a drawing on a phone, px: what is left of 360 px beside the margins of the page. */
const narrowWidth = 328;

/** Height of a narrow drawing as a share of the wide one's. */
export const heightShare = 0.92;

const letters = 12;
const lineLetters = 24;
/** Margins of a narrow drawing, px; below it there is room for a title of two lines. */
const narrowMargin = { l: 40, r: 8, b: 44 };
const lineHeight = 15;

function record(value: unknown): Plain {
  return value !== null && typeof value === "object" && !Array.isArray(value)
    ? (value as Plain)
    : {};
}

/** A text in lines of at most so many letters, broken at spaces; its own lines stay. */
function wrapped(text: unknown, most: number): unknown {
  if (typeof text !== "string") return text;
  return text
    .split("<br>")
    .map((line) => {
      const lines: string[] = [];
      // "n = 12" stays in one line.
      for (const word of line.replaceAll(" = ", "\u00a0=\u00a0").split(" ")) {
        const last = lines.at(-1);
        if (last !== undefined && `${last} ${word}`.length <= most) {
          lines[lines.length - 1] = `${last} ${word}`;
        } else lines.push(word);
      }
      return lines.join("<br>");
    })
    .join("<br>");
}

/** How many letters a name under a narrow axis may have before it meets its neighbour. */
function lettersOf({ tickvals, range }: Plain): number {
  const places = Array.isArray(tickvals) ? tickvals.map(Number) : [];
  const steps = places.slice(1).map((place, i) => Math.abs(place - Number(places[i])));
  const [from, to] = Array.isArray(range) ? range.map(Number) : [];
  const span = from === undefined || to === undefined ? places.length : Math.abs(to - from);
  const step = steps.length > 0 ? Math.min(...steps) : span;
  return Math.max(5, Math.floor((270 * step) / (span || 1) / 7));
}

/** Letters in a line of a name beside an axis, from the narrowest column of names to the widest. */
const besideLetters = [14, 18, 22, 26, 34];

/** Distance of the two nearest names beside an axis, px. */
function rowHeight({ tickvals, range, domain }: Plain, plotHeight: number): number {
  const places = Array.isArray(tickvals) ? tickvals.map(Number) : [];
  const steps = places.slice(1).map((place, i) => Math.abs(place - Number(places[i])));
  const [bottom = 0, top = 1] = Array.isArray(domain) ? domain.map(Number) : [];
  const [from, to] = Array.isArray(range) ? range.map(Number) : [];
  const whole =
    from === undefined || to === undefined
      ? Math.max(...places) - Math.min(...places) + 1
      : Math.abs(to - from);
  return (plotHeight * (top - bottom) * Math.min(...steps, whole)) / (whole || 1);
}

/** Names in lines that do not meet the name above: wider where rows are close. */
function besideNames(axis: Plain, texts: readonly unknown[], plotHeight: number): unknown[] {
  const room = rowHeight(axis, plotHeight);
  let names: unknown[] = [];
  for (const most of besideLetters) {
    names = texts.map((text) => wrapped(text, most));
    const lines = Math.max(...names.map((name) => String(name).split("<br>").length));
    if (lines * lineHeight <= room) break;
  }
  return names;
}

/** Letters in a line of a name beside an axis that leave half of a column's width to the plot. */
const halfWidthLetters = 22;

/**
 * The least height, px, at which the names beside a figure's only vertical axis fit without taking
 * more than half of its width; 0 where a figure has none, or several axes above one another.
 */
export function heightForNames(layout: object): number {
  const axes = Object.entries(layout).filter(([key]) => /^yaxis\d*$/.test(key));
  const axis = record(axes[0]?.[1]);
  if (axes.length !== 1 || !Array.isArray(axis.ticktext) || axis.ticktext.length === 0) return 0;
  const lines = axis.ticktext.map(
    (text) => String(wrapped(text, halfWidthLetters)).split("<br>").length,
  );
  const plotHeight = (Math.max(...lines) * lineHeight) / rowHeight(axis, 1);
  // A title below the plot may take a line more than the margin has room for.
  return Math.ceil(plotHeight + aroundPlot(layout) + 2 * lineHeight);
}

/** What margins, the axis title and a legend of one line take of a figure's height, px. */
function aroundPlot(layout: object): number {
  return narrowMargin.b + (Number(record(record(layout).margin).t) || 28) + 20;
}

function narrowAxis(key: string, value: unknown, plotHeight: number): Plain {
  const axis = record(value);
  const title = record(axis.title);
  const isX = key.startsWith("x");
  const texts = Array.isArray(axis.ticktext) ? axis.ticktext : null;
  const names = texts
    ? {
        ticktext: isX
          ? texts.map((text) => wrapped(text, lettersOf(axis)))
          : besideNames(axis, texts, plotHeight),
      }
    : { nticks: isX ? 5 : 6 };
  return {
    ...axis,
    ...names,
    title: {
      ...title,
      font: { ...record(title.font), size: letters },
      standoff: 8,
    },
    tickfont: { ...record(axis.tickfont), size: letters - 0.5 },
  };
}

const mostBelow = 44;

/** Letters in a line of a title below the plot, which is centred on what the names beside leave. */
function lettersBelow(axes: readonly [string, Plain][]): number {
  const beside = axes.flatMap(([key, { ticktext }]) =>
    key.startsWith("y") && Array.isArray(ticktext) ? ticktext : [],
  );
  const longest = beside
    .flatMap((name) => String(name).split("<br>"))
    .reduce((most, line) => Math.max(most, line.length), 0);
  const width = narrowWidth - 8 - (longest > 0 ? 20 + 6.4 * longest : 44);
  return Math.max(12, Math.min(mostBelow, Math.floor(width / 6.2)));
}

function narrowNote(value: unknown): Plain {
  const note = record(value);
  return {
    ...note,
    text: wrapped(note.text, lineLetters),
    font: { ...record(note.font), size: letters - 0.5 },
  };
}

/** Names that stand above the plot in steps are set further apart when they take more lines. */
function narrowNotes(notes: readonly unknown[]): { notes: Plain[]; raised: number } {
  let raised = 0;
  const set = notes.map((value) => {
    const note = narrowNote(value);
    const lines = String(note.text).split("<br>").length;
    const shift = typeof note.yshift === "number" ? note.yshift : 0;
    const result = shift >= 13 ? { ...note, yshift: shift + raised } : note;
    if (shift >= 13 || note.xref !== "paper") raised += lineHeight * (lines - 1);
    return result;
  });
  return { notes: set, raised };
}

/**
 * A figure for a narrow screen: drawn anew at its width, with letters of 11.5 px and more, long words
 * in lines, and a legend below the axis. Nothing is left out.
 * @param leastHeight the least height, px
 */
export function narrowFigure({ data, layout }: FigureParts, leastHeight = 300): FigureParts {
  const given = record(layout);
  const result: Plain = {
    ...given,
    width: narrowWidth,
    height: Math.max(leastHeight, Math.round((Number(given.height) || 440) * heightShare)),
    font: { ...record(given.font), size: letters },
    legend: {
      ...record(given.legend),
      orientation: "h",
      x: 0,
      xanchor: "left",
      y: 1.02,
      yanchor: "bottom",
      font: { size: letters - 0.5 },
    },
    margin: { ...record(given.margin), ...narrowMargin },
  };
  const plotHeight = Number(result.height) - aroundPlot(given);
  const axes = Object.entries(given)
    .filter(([key]) => /^[xy]axis\d*$/.test(key))
    .map(([key, value]): [string, Plain] => [key, narrowAxis(key, value, plotHeight)]);
  const titleLetters = lettersBelow(axes);
  for (const [key, axis] of axes) {
    const title = record(axis.title);
    const text = wrapped(title.text, key.startsWith("x") ? titleLetters : 34);
    const lines = String(text ?? "").split("<br>").length;
    const below = key.startsWith("x") ? lineHeight * Math.max(0, lines - 2) : 0;
    // The drawing program lifts a title by its further lines, so that it is set lower by them.
    result[key] = { ...axis, title: { ...title, text, standoff: 8 + below } };
    if (below > 0) {
      const margin = record(result.margin);
      const bottom = Math.max(Number(margin.b), narrowMargin.b + below);
      result.margin = { ...margin, b: bottom };
    }
  }
  if (Array.isArray(given.annotations)) {
    const { notes, raised } = narrowNotes(given.annotations);
    result.annotations = notes;
    const margin = record(result.margin);
    result.margin = { ...margin, t: (Number(margin.t) || 28) + raised };
  }
  return { data, layout: result };
}
