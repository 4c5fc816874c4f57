import type { ChoiceControl, Control, NumberControl, Settings } from "../learn/model.js";
import type { Simulation } from "../learn/simulation.js";
import { escapeHtml, proseHtml } from "../show/markup.js";
import { pictureSvg } from "../show/picture-svg.js";
import { isPlainDrawing } from "./drawing-check.js";
import { scriptJson } from "./figure-html.js";

const text = (value: unknown) => escapeHtml(String(value));

function dialHtml(control: NumberControl, settings: Settings, prefix: string): string {
  const { name, label, unit, low, high, step } = control;
  const id = text(`${prefix}-${name}`);
  const range = `name="${text(name)}" min="${text(low)}" max="${text(high)}" step="${text(step)}" value="${text(settings[name])}"`;
  const words = unit ? `${label}, ${unit}` : label;
  return `<div class="dial"><label for="${id}">${text(label)}</label><input type="range" id="${id}" ${range}><span class="exact"><input type="number" ${range} aria-label="${text(words)}, as a number"> <span class="unit">${text(unit)}</span></span></div>`;
}

function choiceHtml(control: ChoiceControl, settings: Settings, prefix: string): string {
  const { name, label, options } = control;
  const id = text(`${prefix}-${name}`);
  const list = options.map(({ value, label: words }) => {
    const chosen = value === settings[name] ? " selected" : "";
    return `<option value="${text(value)}"${chosen}>${text(words)}</option>`;
  });
  return `<div class="dial"><label for="${id}">${text(label)}</label><select id="${id}" name="${text(name)}">${list.join("")}</select></div>`;
}

function controlHtml(control: Control, settings: Settings, prefix: string): string {
  return control.kind === "choice"
    ? choiceHtml(control, settings, prefix)
    : dialHtml(control, settings, prefix);
}

function button(act: string, words: string, more = ""): string {
  return `<button type="button" data-play="${act}"${more}>${words}</button>`;
}

/** The drawing itself where it is nothing but shapes and words, else as an image, which runs nothing. */
function drawing(svg: string, alt: string): string {
  if (isPlainDrawing(svg)) return svg;
  return `<img src="data:image/svg+xml,${encodeURIComponent(svg)}" alt="${text(alt)}">`;
}

function formHtml({ controls, settings, seed, chance }: Simulation, prefix: string): string {
  const dials = controls.map((control) => controlHtml(control, settings, prefix));
  const number = `<label for="${prefix}-seed">Draw number</label> <input type="number" id="${prefix}-seed" name="seed" min="0" max="999999" step="1" value="${text(seed)}">`;
  const draws = [
    `<span class="chance">${number}</span>`,
    button("again", "Draw again"),
    button("on", "Keep drawing", ' aria-pressed="false"'),
  ];
  const buttons = [
    ...(chance === false ? [] : draws),
    button("start", "First state"),
    button("link", "Link to this setting"),
  ];
  return `<form class="dials"><div class="settings">${dials.join("")}</div><div class="acts">${buttons.join("")}</div></form>`;
}

/**
 * A simulation in a page: the first state as a drawing and a sentence, which need no script, and a
 * form that a script brings to life.
 * @param id anchor of the simulation: unique in the page, and the first part of links to a setting
 * @param live false where the page carries no program to run the model with
 */
export function simulationHtml(simulation: Simulation, id: string, live: boolean): string {
  const { alt, caption, sentence, picture } = simulation;
  const svg = pictureSvg(picture, String(alt));
  const anchor = text(id);
  const spec = live
    ? `<script type="application/json" class="spec">${scriptJson(simulation)}</script>`
    : "";
  const still = `<p class="still"><small>This is the first state. ${live ? "With scripts allowed it has sliders; in" : "In"} the notebook, change the settings in the cell and run it again.</small></p>`;
  const parts = [
    `<figure><div class="canvas">${drawing(svg, String(alt))}</div><figcaption id="${anchor}-caption">${proseHtml(String(caption))}</figcaption></figure>`,
    `<p class="says">${proseHtml(String(sentence))}</p>`,
    live ? `<p class="heard" role="status" aria-live="polite"></p>` : "",
    live ? formHtml(simulation, anchor) : "",
    still,
    spec,
  ];
  return `<section class="play${live ? " ready" : ""}" id="${anchor}" aria-labelledby="${anchor}-caption">${parts.join("")}</section>`;
}
