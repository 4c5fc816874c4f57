import { itemAt } from "../entry.js";
import { knownOptions } from "../options.js";
import { type Plain, type Role, tint } from "./look.js";
import { dots, type Plot, roleMark, type Scale, titled } from "./plot.js";

/** One golfer's value at a visit. */
export interface VisitValue {
  /** Code of the golfer. */
  readonly participant: string;
  /** Place of the visit among the visits, from 0. */
  readonly visit: number;
  /** The value, in the unit of the scale. */
  readonly value: number;
}

/** One arm with its golfers at every visit. */
export interface VisitPanel {
  /** Name above the panel. */
  readonly name: string;
  /** What was measured, golfer by golfer. */
  readonly values: readonly VisitValue[];
  /** What colour and mark stand for: a hand, speed, an arm, or a neutral mark. */
  readonly role: Role;
}

/** Arms beside one another, each with every visit. */
export interface VisitPanelsInput extends Scale {
  /** The arms from left to right. */
  readonly panels: readonly VisitPanel[];
  /** The visits in their order: the week, and the name in the table of numbers. */
  readonly visits: readonly { readonly week: number; readonly title: string }[];
}

function panelTraces(panel: VisitPanel, from: number, visits: VisitPanelsInput["visits"]): Plain[] {
  const { colour, dash } = roleMark(panel.role);
  const { values } = panel;
  const people = [...new Set(values.map(({ participant }) => participant))];
  const lines = people.flatMap((person) => [
    ...values
      .filter(({ participant }) => participant === person)
      .sort((a, b) => a.visit - b.visit)
      .map(({ visit, value }) => ({ x: from + visit, y: value })),
    { x: null, y: null },
  ]);
  return [
    {
      type: "scatter",
      mode: "lines",
      x: lines.map(({ x }) => x),
      y: lines.map(({ y }) => y),
      line: { color: tint(colour, 0.45), width: 1.2, dash },
      hoverinfo: "skip",
      showlegend: false,
      meta: { columns: {} },
    },
    {
      type: "scatter",
      mode: "markers",
      name: panel.name,
      x: values.map(({ visit }) => from + visit),
      y: values.map(({ value }) => value),
      text: values.map(({ participant }) => participant),
      customdata: values.map(({ visit }) => itemAt(visits, visit).title),
      hovertemplate: "%{text}, %{customdata}: %{y}<extra></extra>",
      marker: dots(panel.role, 7),
      meta: { columns: { name: "arm", text: "golfer", customdata: "occasion", y: "value" } },
    },
  ];
}

/** A name in lines that fit over its panel. */
function headed(name: string, letters: number): string {
  return name.split(" ").reduce((text, word) => {
    const last = text.split("<br>").at(-1) ?? "";
    return text === ""
      ? word
      : `${text}${`${last} ${word}`.length > letters ? "<br>" : " "}${word}`;
  }, "");
}

/**
 * Every golfer at every visit in a panel for each arm, on one scale; the arm's name stands above its
 * panel and the weeks below. No summary is drawn.
 */
export function visitPanels(input: VisitPanelsInput): Plot {
  knownOptions(input, ["panels", "visits", "quantity", "unit"], "visitPanels");
  const { panels, visits, quantity, unit } = input;
  const step = visits.length + 0.6;
  const letters = Math.floor(40 / panels.length);
  const names = panels.map(({ name }) => headed(name, letters));
  const lines = Math.max(...names.map((name) => name.split("<br>").length));
  return {
    data: panels.flatMap((panel, i) => panelTraces(panel, i * step, visits)),
    layout: {
      xaxis: {
        title: { text: "Visit (week)" },
        tickvals: panels.flatMap((_, i) => visits.map((_, visit) => i * step + visit)),
        ticktext: panels.flatMap(() => visits.map(({ week }) => String(week))),
        tickangle: 0,
        range: [-0.6, (panels.length - 1) * step + visits.length - 0.4],
        showgrid: false,
      },
      yaxis: titled({ quantity, unit }),
      showlegend: false,
      margin: { t: 16 + 18 * lines },
      ...(panels.length > 1 && {
        annotations: names.map((text, i) => ({
          text,
          x: i * step + (visits.length - 1) / 2,
          y: 1,
          yref: "paper",
          yanchor: "bottom",
          yshift: 4,
          showarrow: false,
        })),
      }),
    },
  };
}
