import { InputError } from "../errors.js";
import { readPackage } from "../study/package/package.js";
import type { PlanInput } from "../study/plan/plan-record.js";
import { gripRuleIds, speedRuleIds } from "../study/tables/rules.js";
import { UsageError } from "./arguments.js";
import type { Io } from "./io.js";

/**
 * Asks for the parts of a plan that the design leaves to choose from, on a terminal.
 * @throws UsageError when a question is left without an answer
 */
export async function askedPlan(descriptor: unknown, io: Io): Promise<PlanInput> {
  const { package: read, faults } = readPackage(descriptor);
  if (!read) {
    const [fault] = faults;
    const { expected = "a study", value: got = "none", where = "" } = fault ?? {};
    throw new InputError({ expected, got, where: `datapackage.json, ${where}` });
  }
  const { design, plan } = read.study;
  const ask = async (question: string, choices: readonly string[]): Promise<string> => {
    const [only] = choices;
    if (choices.length === 1 && only !== undefined) return only;
    const answer = await io.chosen?.(question, choices);
    if (answer === undefined) throw new UsageError("nothing was recorded: a question is open");
    return answer;
  };
  const occasions = design.occasions.map(({ id }) => id);
  const outcome = await ask("What is the primary outcome?", ["grip", "speed"]);
  const where =
    outcome === "grip"
      ? {
          hand: await ask("Of which hand?", design.hands),
          position: await ask(
            "In which position?",
            design.positions.map(({ id }) => id),
          ),
        }
      : {};
  const before = await ask("At which visit is the value before training?", occasions.slice(0, -1));
  const later = occasions.slice(occasions.indexOf(before) + 1);
  const after = await ask("At which visit is the value after training?", later);
  return {
    primary: {
      outcome,
      ...where,
      before,
      after,
      contrast: contrastOf(design.arms),
      unit: outcome === "grip" ? "kgf" : "mph",
    },
    summaries: {
      grip: await ask("How do grip trials become one value?", gripRuleIds),
      speed: await ask("How do swings become one value?", speedRuleIds),
    },
    level: plan.level,
    seed: plan.seed,
  } as PlanInput;
}

function contrastOf(arms: readonly { readonly id: string; readonly control?: boolean }[]): string {
  const control = arms.find((arm) => arm.control) ?? arms.at(-1);
  const trained = arms.find((arm) => arm !== control);
  return control && trained ? `${trained.id} − ${control.id}` : "after − before";
}
