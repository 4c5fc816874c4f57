import { nearestName } from "../../options.js";
import type { StudyDesign, StudyPlan, StudyRecord } from "./design.js";
import type { PackageFault } from "./package-fault.js";

/** Outcomes that a smallest worthwhile change may be stated for, each with its unit. */
const worthwhileOutcomes = ["grip_kgf", "speed_mph"] as const;

/** Entries of the plan that the design does not have, each with what may have been meant. */
export function planFaults({ design, plan }: StudyRecord): PackageFault[] {
  const occasions = design.occasions.map(({ id }) => id);
  return [
    ...primaryFaults(plan.primary, design),
    ...(["grip", "speed"] as const).flatMap((quantity) => {
      const rule = plan.summaries[quantity];
      if (typeof rule === "string") return [];
      return Object.keys(rule).flatMap((id) =>
        known(id, occasions, `study.plan.summaries.${quantity}`),
      );
    }),
    ...Object.keys(plan.smallestWorthwhile ?? {}).flatMap((name) =>
      known(name, worthwhileOutcomes, "study.plan.smallestWorthwhile"),
    ),
  ];
}

function primaryFaults(primary: StudyPlan["primary"], design: StudyDesign): PackageFault[] {
  if (!primary) return [];
  const occasions = design.occasions.map(({ id }) => id);
  const positions = design.positions.map(({ id }) => id);
  const where = "study.plan.primary";
  return [
    ...known(primary.before, occasions, `${where}.before`),
    ...known(primary.after, occasions, `${where}.after`),
    ...(primary.hand ? known(primary.hand, design.hands, `${where}.hand`) : []),
    ...(primary.position && positions.length > 0
      ? known(primary.position, positions, `${where}.position`)
      : []),
    ...contrastFaults(primary.contrast, design),
  ];
}

/** A contrast written as "A − B" names two arms, or the time before and after. */
function contrastFaults(contrast: string, { arms, occasions }: StudyDesign): PackageFault[] {
  const sides = /^(\S+)\s+[−–-]\s+(\S+)$/.exec(contrast.trim());
  if (!sides) return [];
  const names = [...arms, ...occasions].map(({ id }) => id);
  const all = [...names, "after", "before"];
  return sides.slice(1).flatMap((side) => known(side, all, "study.plan.primary.contrast"));
}

function known(value: string, names: readonly string[], where: string): PackageFault[] {
  if (value === "" || names.includes(value)) return [];
  const near = nearestName(value, names);
  const expected = near === undefined ? `one of ${names.join(", ")}` : `"${near}"`;
  return [{ code: "plan-unknown", where, value, expected }];
}
