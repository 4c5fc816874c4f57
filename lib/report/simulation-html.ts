import { type Markup, markup, nothing, proseHtml, trustedMarkup } from "../markup.js";
import type {
  ChoiceControl,
  Control,
  NumberControl,
  Settings,
  Simulation,
} from "../show/lesson-outputs.js";
import { isMovable, pictureSvg } from "../show/picture-svg.js";
import { isPlainDrawing } from "./drawing-check.js";
import { scriptJson } from "./figure-html.js";

function dialHtml(control: NumberControl, settings: Settings, prefix: string): Markup {
  const { name, label, unit, low, high, step } = control;
  const id = `${prefix}-${name}`;
  const range = markup`name="${name}" min="${low}" max="${high}" step="${step}" value="${settings[name] ?? control.start}"`;
  const words = unit ? `${label}, ${unit}` : label;
  return markup`<div class="dial"><label for="${id}">${label}</label><input type="range" id="${id}" ${range}><span class="exact"><input type="number" ${range} aria-label="${words}, as a number"> <span class="unit">${unit}</span></span></div>`;
}

function choiceHtml(control: ChoiceControl, settings: Settings, prefix: string): Markup {
  const { name, label, options } = control;
  const id = `${prefix}-${name}`;
  const list = options.map(({ value, label: words }) => {
    const chosen = value === settings[name] ? markup` selected` : "";
    return markup`<option value="${value}"${chosen}>${words}</option>`;
  });
  return markup`<div class="dial"><label for="${id}">${label}</label><select id="${id}" name="${name}">${list}</select></div>`;
}

function controlHtml(control: Control, settings: Settings, prefix: string): Markup {
  return control.kind === "choice"
    ? choiceHtml(control, settings, prefix)
    : dialHtml(control, settings, prefix);
}

function button(act: string, words: string, more = nothing): Markup {
  return markup`<button type="button" data-play="${act}"${more}>${words}</button>`;
}

/** The drawing itself where it is nothing but shapes and words, else as an image, which runs nothing. */
export function pictureMarkup(svg: string, alt: string): Markup {
  if (isPlainDrawing(svg)) return trustedMarkup(svg);
  return markup`<img src="data:image/svg+xml,${encodeURIComponent(svg)}" alt="${alt}">`;
}

function formHtml(simulation: Simulation, prefix: string): Markup {
  const { controls, settings, seed, chance, picture } = simulation;
  const dials = controls.map((control) => controlHtml(control, settings, prefix));
  // Where dots are moved, their values stand in a fold: there are two for each.
  const values = isMovable(picture)
    ? markup`<details><summary>All values as numbers</summary><div class="settings">${dials}</div></details>`
    : markup`<div class="settings">${dials}</div>`;
  const number = markup`<label for="${prefix}-seed">Draw number</label> <input type="number" id="${prefix}-seed" name="seed" min="0" max="999999" step="1" value="${seed}">`;
  const draws = [button("again", "Draw again"), button("on", "Run", markup` aria-pressed="false"`)];
  const buttons = [
    ...(chance === false ? [] : draws),
    button("start", "Reset"),
    button("link", "Link to this setting"),
    ...(chance === false ? [] : [markup`<span class="chance">${number}</span>`]),
  ];
  return markup`<form class="dials">${values}<div class="acts">${buttons}</div></form>`;
}

/**
 * A simulation in a page: the first state as a drawing and a sentence, which need no script, and a
 * form that a script brings to life. Figure, controls and result stay in view while the reader
 * answers the tasks below them.
 * @param id anchor of the simulation: unique in the page, and the first part of links to a setting
 * @param more `live`: false where the page carries no program to run the model with; `tasks`: what
 *   the reader is asked to find out by playing
 */
export function simulationHtml(
  simulation: Simulation,
  id: string,
  { live, tasks = nothing }: { readonly live: boolean; readonly tasks?: Markup },
): Markup {
  const { alt, caption, sentence, picture } = simulation;
  const svg = pictureSvg(picture, alt);
  const spec = live
    ? markup`<script type="application/json" class="spec">${scriptJson(simulation)}</script>`
    : "";
  const still = markup`<p class="still"><small>This is the first state. ${live ? "With scripts allowed it has sliders; in" : "In"} the notebook, change the settings in the cell and run it again.</small></p>`;
  const stage = [
    markup`<figure><div class="canvas">${pictureMarkup(svg, alt)}</div></figure>`,
    live ? formHtml(simulation, id) : "",
    markup`<p class="says" tabindex="0" role="group" aria-label="Result">${proseHtml(sentence)}</p>`,
  ];
  const parts = [
    markup`<p class="caption" id="${id}-caption">${proseHtml(caption)}</p>`,
    markup`<div class="stage">${stage}</div>`,
    live ? markup`<p class="heard" role="status" aria-live="polite"></p>` : "",
    still,
    tasks,
    spec,
  ];
  return markup`<section class="play${live ? " ready" : ""}" id="${id}" aria-labelledby="${id}-caption">${parts}</section>`;
}
