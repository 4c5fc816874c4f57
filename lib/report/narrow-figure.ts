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

const letters = 12;
const lineLetters = 24;
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
      for (const word of line.split(" ")) {
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

function narrowAxis(key: string, value: unknown): Plain {
  const axis = record(value);
  const title = record(axis.title);
  const isX = key.startsWith("x");
  const names = Array.isArray(axis.ticktext)
    ? { ticktext: axis.ticktext.map((text) => wrapped(text, isX ? lettersOf(axis) : 14)) }
    : { nticks: isX ? 5 : 6 };
  return {
    ...axis,
    ...names,
    title: {
      ...title,
      text: wrapped(title.text, isX ? 44 : 34),
      font: { ...record(title.font), size: letters },
      standoff: 8,
    },
    tickfont: { ...record(axis.tickfont), size: letters - 0.5 },
  };
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
    const own = typeof note.yshift === "number" ? note.yshift : 0;
    const result = own >= 13 ? { ...note, yshift: own + raised } : note;
    if (own >= 13 || note.xref !== "paper") raised += lineHeight * (lines - 1);
    return result;
  });
  return { notes: set, raised };
}

/**
 * A figure for a narrow screen: drawn anew at its width, with letters of 11.5 px and more, long words
 * in lines, and a legend below the axis. Nothing is left out.
 */
export function narrowFigure({ data, layout }: FigureParts): FigureParts {
  const given = record(layout);
  const result: Plain = {
    ...given,
    width: narrowWidth,
    height: Math.max(300, Math.round((Number(given.height) || 440) * 0.92)),
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
    margin: { ...record(given.margin), l: 40, r: 8, b: 44 },
  };
  for (const [key, value] of Object.entries(given)) {
    if (/^[xy]axis\d*$/.test(key)) result[key] = narrowAxis(key, value);
  }
  if (Array.isArray(given.annotations)) {
    const { notes, raised } = narrowNotes(given.annotations);
    result.annotations = notes;
    const margin = record(result.margin);
    result.margin = { ...margin, t: (Number(margin.t) || 28) + raised };
  }
  return { data, layout: result };
}
