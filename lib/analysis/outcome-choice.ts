import { InputError } from "../errors.js";
import { lowerFirst } from "../first-letter.js";
import type { Position } from "../study/package/design.js";
import type { Study } from "../study/study.js";
import type { GripRule, SpeedRule, SummaryRule } from "../study/tables/rules.js";
import type { MeasureName } from "./study-answer.js";

/** Which outcome is meant; what the design leaves open has to be said. */
export interface OutcomeChoice {
  /** "lead" or "trail"; needed when the design tests both. */
  readonly hand?: "lead" | "trail" | undefined;
  /** Id of the position; needed when the design has several. */
  readonly position?: string | undefined;
  /** Needed when the design has several clubs. */
  readonly club?: string | undefined;
  /** How several trials become one value; the rule of the plan unless given. */
  readonly rule?: GripRule | SpeedRule | undefined;
}

/**
 * The choice with what the design and the plan leave no choice about.
 * @throws InputError when the design has several hands, positions or clubs and none is chosen, or a
 *   choice is not in the design
 */
export function choiceFor(
  study: Study,
  quantity: "grip" | "speed",
  choice: OutcomeChoice,
  rule: SummaryRule,
): OutcomeChoice {
  return quantity === "grip" ? gripChoice(study, choice, rule) : speedChoice(study, choice);
}

function gripChoice(study: Study, choice: OutcomeChoice, rule: SummaryRule): OutcomeChoice {
  refuse(choice.club, "club", "grip");
  const { hands, positions } = study.design;
  const primary = study.plan.primary?.outcome === "grip" ? study.plan.primary : undefined;
  const ids = positions.map(({ id }) => id);
  const position = one("position", choice.position, ids, primary?.position);
  if (rule.hands === "both") return { ...(position !== undefined && { position }) };
  const hand = one("hand", choice.hand, hands, primary?.hand);
  return { ...(hand !== undefined && { hand }), ...(position !== undefined && { position }) };
}

function speedChoice(study: Study, choice: OutcomeChoice): OutcomeChoice {
  refuse(choice.hand, "hand", "speed");
  refuse(choice.position, "position", "speed");
  const club = one("club", choice.club, study.design.clubs, undefined);
  return club === undefined ? {} : { club };
}

function refuse(given: string | undefined, name: string, quantity: string): void {
  if (given === undefined) return;
  const expected = `no ${name} for ${quantity}`;
  throw new InputError({ expected, got: JSON.stringify(given), where: `outcome, ${name}` });
}

/** The choice that was made, or the only one there is, or the one of the plan. */
function one<T extends string>(
  name: string,
  chosen: T | undefined,
  known: readonly T[],
  planned: T | undefined,
): T | undefined {
  if (chosen === undefined) {
    if (known.length <= 1) return known[0];
    if (planned !== undefined && known.includes(planned)) return planned;
  } else if (known.includes(chosen)) return chosen;
  const list = known.map((item) => JSON.stringify(item)).join(", ");
  throw new InputError({
    expected: `a ${name} of the design: ${list}`,
    got: chosen === undefined ? "none" : JSON.stringify(chosen),
    where: `outcome, ${name}`,
  });
}

/** "Lead-hand grip at address", "Grip of both hands, seated", "Club-head speed, driver". */
export function measureName(
  study: Study,
  quantity: "grip" | "speed",
  { hand, position, club }: OutcomeChoice,
  rule: SummaryRule,
): MeasureName {
  if (quantity === "speed") {
    const several = study.design.clubs.length > 1 && club !== undefined;
    const name = several ? `Club-head speed, ${club}` : "Club-head speed";
    return { outcome: "speed", name, ...(club !== undefined && { club }) };
  }
  const both = rule.hands === "both" ? "Grip of both hands" : undefined;
  const head =
    both ?? (hand === undefined ? "Grip" : `${hand === "lead" ? "Lead" : "Trail"}-hand grip`);
  const place = study.design.positions.find(({ id }) => id === position);
  return {
    outcome: "grip",
    name: `${head}${placeWords(place)}`,
    ...(hand !== undefined && rule.hands === "each" && { hand }),
    ...(position !== undefined && { position }),
  };
}

function placeWords(position: Position | undefined): string {
  if (position === undefined) return "";
  const title = lowerFirst(position.title);
  return /^(?:at|in|on|with|from|over)\b/.test(title) ? ` ${title}` : `, ${title}`;
}

/** The name of a change of what a name stands for: "Change of lead-hand grip". */
export function changeName(name: string): string {
  return `Change of ${lowerFirst(name)}`;
}
