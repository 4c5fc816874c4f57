import { present } from "../entry.js";
import type { Settings } from "../show/lesson-outputs.js";
import { beforeAfterModel } from "./before-after-model.js";
import { lineModel } from "./line-model.js";
import { type Model, type Played, play } from "./model.js";
import { ownChangesModel } from "./own-changes-model.js";
import { ownLineModel } from "./own-line-model.js";
import { pullModel } from "./pull-model.js";
import { resamplingModel } from "./resampling-model.js";
import { squeezeModel } from "./squeeze-model.js";
import { withinModel } from "./within-model.js";
import { languageOf } from "./words/language.js";

/** All models, by the name that a simulation's record carries. */
const models: Readonly<Record<string, Model>> = Object.fromEntries(
  [
    squeezeModel,
    lineModel,
    ownLineModel,
    beforeAfterModel,
    ownChangesModel,
    resamplingModel,
    withinModel,
    pullModel,
  ].map((model) => [model.name, model as Model]),
);

/** Runs the model that a record names: what a page does when a slider is moved. */
export function playAgain(
  name: string,
  settings: Settings,
  seed: number,
  language: string,
): Played {
  return play(present(models[name]), settings, seed, languageOf(language));
}
