import { readFileSync } from "node:fs";
import { peopleOf } from "../../lib/cli/tested-people.js";
import { type FormContent, type FormOptions, formContent } from "../../lib/form/form-content.js";
import { openStudy } from "../../lib/study/open.js";

/** What a form of a demo study carries. */
export function contentOf(name: string, options: Partial<FormOptions> = {}): FormContent {
  const study = openStudy(name);
  const descriptor = JSON.parse(readFileSync(`data/${name}/datapackage.json`, "utf8"));
  return formContent(study, descriptor.study, {
    purpose: "tests",
    people: peopleOf(study, undefined, "form"),
    seed: study.plan.seed,
    forceUnit: "kgf",
    speedUnit: "mph",
    withEarlier: false,
    ...options,
  });
}
