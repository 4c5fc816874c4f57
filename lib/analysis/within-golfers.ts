import { itemAt } from "../entry.js";
import { fisherInterval } from "../stats/correlation.js";
import type { Estimate } from "../stats/estimate.js";
import { lineMoments } from "../stats/line-without-each.js";
import { repeatedMeasuresCorrelation } from "../stats/repeated-correlation.js";
import { subjectSlopes } from "../stats/slopes.js";
import { withoutEachRow } from "../stats/without-each-row.js";
import { leaveOneOutOf } from "./leave-one-out.js";
import { refusalSentence } from "./refusal.js";
import { type Answer, type AnswerFields, answer } from "./study-answer.js";
import type { VisitPair } from "./visit-pairs.js";

type Golfers = ReadonlyMap<string, readonly VisitPair[]>;

/** Every golfer's own line, and their mean slope. */
export interface OwnSlopes {
  /** Mean of the golfers' own slopes. */
  readonly answer: Answer;
  /** Slope and intercept by golfer. */
  readonly lines: ReadonlyMap<string, { readonly slope: number; readonly intercept: number }>;
  /** Golfers without a line, with the reason. */
  readonly setAside: readonly { readonly participant: string; readonly reason: string }[];
}

/** The mean of the golfers' own slopes; leaving a golfer out is one mean of the others. */
export function ownSlopesOf(
  fields: AnswerFields,
  golfers: Golfers,
  level: number,
  why: string | undefined,
): OwnSlopes {
  const common = { ...fields, aspect: "mean of the golfers' own slopes" };
  if (why !== undefined) {
    return { answer: answer({ ...common, unanswered: why }), lines: new Map(), setAside: [] };
  }
  const rows = [...golfers.values()].flat();
  const found = subjectSlopes(
    rows.map(({ participant }) => participant),
    rows.map(({ x }) => x),
    rows.map(({ y }) => y),
    { level },
  );
  const slopes = found.subjects.map(({ slope }) => slope);
  const codes = found.subjects.map(({ subject }) => subject);
  const without = withoutEachRow([slopes.map(() => 1)], slopes, [1], level);
  return {
    answer: answer({
      ...common,
      method: "one line per golfer, t over golfers",
      estimate: found.slope,
      count: { n: codes.length, of: "golfers" },
      leaveOneOut: leaveOneOutOf(found.slope, codes, without),
    }),
    lines: new Map(
      found.subjects.map(({ subject, slope, intercept }) => [subject, { slope, intercept }]),
    ),
    setAside: found.setAside.map(({ subject, reason }) => ({ participant: subject, reason })),
  };
}

/** The repeated-measures correlation; a golfer is left out by taking off the golfer's own sums. */
export function repeatedCorrelationOf(
  fields: AnswerFields,
  golfers: Golfers,
  level: number,
  why: string | undefined,
): Answer {
  const common = { ...fields, aspect: "correlation within golfers", unit: "" };
  if (why !== undefined) return answer({ ...common, unanswered: why });
  const repeated = [...golfers].filter(([, rows]) => rows.length > 1);
  const rows = repeated.flatMap(([, own]) => own);
  try {
    const whole = repeatedMeasuresCorrelation(
      rows.map(({ participant }) => participant),
      rows.map(({ x }) => x),
      rows.map(({ y }) => y),
      { level },
    );
    const { value, df, statistic, p, interval } = whole;
    const estimate: Estimate = {
      value,
      df,
      ...(statistic !== undefined && { statistic }),
      p,
      ...(interval && { interval }),
    };
    return answer({
      ...common,
      method: "repeated-measures correlation (Bland & Altman 1995), Fisher z",
      estimate,
      count: { n: repeated.length, of: "golfers" },
      leaveOneOut: leaveOneOutOf(
        estimate,
        repeated.map(([participant]) => participant),
        correlationsWithoutEach(
          repeated.map(([, own]) => own),
          level,
        ),
      ),
    });
  } catch (error) {
    const unanswered = refusalSentence(error, "These visits allow no correlation");
    return answer({ ...common, unanswered });
  }
}

function correlationsWithoutEach(
  golfers: readonly (readonly VisitPair[])[],
  level: number,
): (Estimate | null)[] {
  const sums = golfers.map((rows) =>
    lineMoments(
      rows.map(({ x }) => x),
      rows.map(({ y }) => y),
    ),
  );
  const total = (name: "xx" | "yy" | "xy") => sums.reduce((sum, one) => sum + one[name], 0);
  const [xx, yy, xy] = [total("xx"), total("yy"), total("xy")];
  const visits = golfers.reduce((count, rows) => count + rows.length, 0);
  return golfers.map((rows, i) => {
    const own = itemAt(sums, i);
    const df = visits - rows.length - (golfers.length - 1) - 1;
    const value = (xy - own.xy) / Math.sqrt((xx - own.xx) * (yy - own.yy));
    if (df < 2 || !(Math.abs(value) < 1)) return null;
    const interval = fisherInterval(value, 1 / Math.sqrt(df - 1), level, "Fisher z");
    return { value, df, interval };
  });
}
