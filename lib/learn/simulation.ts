import { type Markup, markup, proseHtml } from "../markup.js";
import { display, mimeTypes } from "../show/display.js";
import type { Control, Settings, Simulation } from "../show/lesson-outputs.js";
import { simulationSchema } from "../show/output-schemas.js";
import { pictureSvg } from "../show/picture-svg.js";
import { identifier, plainJson, refuse, sentence } from "../show/record.js";
import { outputRecord } from "../show/schema.js";
import type { Played } from "./model.js";

/** What `simulation` shows: a model that was run, with an id and a caption. */
export interface SimulationInput extends Played {
  /** Unique in the notebook; names the simulation in the page and in links. */
  readonly id: string;
  /** A sentence that stands under the output. */
  readonly caption: string;
}

/** A setting as a reader sees it: "Golfers in a squad: 12". */
function settingText(control: Control, settings: Settings): string {
  const value = settings[control.name];
  if (control.kind === "number") {
    return `${control.label}: ${value}${control.unit ? ` ${control.unit}` : ""}`;
  }
  const chosen = control.options.find((option) => option.value === value);
  return `${control.label}: ${chosen?.label ?? value}`;
}

const withoutScript =
  "This is the first state. Change the settings in the cell and run it again; in the report page the picture has sliders.";

let playable: ((record: Simulation) => string) | undefined;

/** In a front end that runs scripts, `maker` gives the output's markup with sliders. */
export function playInPlace(maker: (record: Simulation) => string): void {
  playable = maker;
}

/** The first state without any script: picture, sentence, settings. */
function stillHtml(record: Simulation): Markup {
  const { picture, alt, controls, settings, seed } = record;
  const source = `data:image/svg+xml,${encodeURIComponent(pictureSvg(picture, alt))}`;
  const list = controls.map(
    (control) => markup`<li>${proseHtml(settingText(control, settings))}</li>`,
  );
  return markup`<figure data-simulation="${record.id}"><img src="${source}" alt="${alt}"><figcaption>${proseHtml(record.caption)}</figcaption><p>${proseHtml(record.sentence)}</p><ul>${list}<li>Seed: ${seed}</li></ul><p><small>${withoutScript}</small></p></figure>`;
}

/**
 * Shows a figure to play with: the picture and the sentence of a model for its first settings. In
 * the report's pages, and in a notebook whose scripts are trusted, it has sliders, and the model runs
 * in the browser; without script the first state is shown, and the settings stand in the cell.
 *
 * Spread what a model returned into it: `simulation({ id, caption, ...playSqueeze({ trials: 1 }, { seed: 1 }) })`.
 * @throws InputError when the caption is missing or no sentence, or no model was spread into it
 * @example simulation({ id: "s", caption: "Squads tested twice.", ...playSqueeze({}, { seed: 1 }) }).model // "squeeze"
 */
export function simulation(input: SimulationInput): Simulation {
  if (input === null || typeof input !== "object") refuse("a record", input, "simulation");
  const id = identifier(input.id, "simulation, id");
  const where = `simulation ${id}`;
  if (typeof input.model !== "string" || !Array.isArray(input.controls)) {
    refuse("what a model returned, such as ...playSqueeze({}, { seed: 1 })", input.model, where);
  }
  const { model, controls, settings, seed, chance, language, alt, picture, results } = input;
  const simulationRecord = {
    kind: "simulation",
    id,
    model,
    caption: sentence(input.caption, `${where}, caption`),
    controls,
    settings,
    seed,
    chance,
    language,
    sentence: input.sentence,
    alt,
    picture: plainJson(picture, `${where}, picture`),
    results,
  };
  const record = outputRecord(simulationSchema, simulationRecord, where);
  display({
    [mimeTypes.simulation]: record,
    [mimeTypes.html]: playable?.(record) ?? String(stillHtml(record)),
    [mimeTypes.plain]: record.sentence,
  });
  return record;
}
