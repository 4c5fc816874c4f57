import { itemAt, wholeAt } from "../../entry.js";
import { InputError } from "../../errors.js";
import { shown } from "../input.js";
import { coded, firstSeen, type LabelColumn, labelTexts } from "./visit-rows.js";

/** A grouping of the rows by labels. */
export interface NamedGroup {
  /** Name of the grouping, such as "participant". */
  readonly name: string;
  /** Labels of its levels, in order of first appearance. */
  readonly labels: readonly string[];
  /** Place of each row's label among them. */
  readonly codes: Int32Array;
  /** Names of the groups that hold each of its levels whole. */
  readonly within: readonly string[];
  /** Each level is a combination of levels of two or more groups of `within`. */
  readonly interaction: boolean;
}

/** A group as it is read, before it is compared with the others. */
type ReadGroup = Pick<NamedGroup, "name" | "labels" | "codes">;

/** The name of what no group explains. */
export const RESIDUAL = "residual";

/**
 * Checks the groups of a variance-component model.
 * @throws InputError when there is none, one has a single level or a level for each row, or two
 *   group the rows alike
 */
export function namedGroups(
  groups: Readonly<Record<string, LabelColumn>>,
  rows: number,
  where: string,
): NamedGroup[] {
  if (groups === null || typeof groups !== "object" || Object.keys(groups).length === 0) {
    const expected = "a record of label columns by name, such as { person: … }";
    throw new InputError({ expected, got: shown(groups), where: `${where}, groups` });
  }
  const read = Object.entries(groups).map(([name, column]) => {
    const place = `${where}, groups.${name}`;
    if (name === RESIDUAL) {
      const expected = "another name: the residual is always in the model";
      throw new InputError({ expected, got: `"${RESIDUAL}"`, where: `${where}, groups` });
    }
    const { labels, codes } = coded(labelTexts(column, place, rows), firstSeen);
    if (labels.length < 2 || labels.length >= rows) {
      const got =
        labels.length < 2
          ? "one label throughout"
          : "a label of its own for each row: the residual";
      throw new InputError({ expected: "labels that each group some rows", got, where: place });
    }
    return { name, labels, codes };
  });
  return read.map((group) => {
    const holders = read.filter((other) => other !== group && holdsWhole(group, other, where));
    return {
      ...group,
      within: holders.map(({ name }) => name),
      interaction: holders.length > 1 && combinations(holders) === group.labels.length,
    };
  });
}

/** Whether each level of one group lies in a single level of the other. */
function holdsWhole(group: ReadGroup, other: ReadGroup, where: string): boolean {
  const holder = new Int32Array(group.labels.length).fill(-1);
  for (let row = 0; row < group.codes.length; row++) {
    const level = wholeAt(group.codes, row);
    const around = wholeAt(other.codes, row);
    if (holder[level] === -1) holder[level] = around;
    else if (holder[level] !== around) return false;
  }
  if (group.labels.length === other.labels.length) {
    throw new InputError({
      expected: "groups that differ",
      got: `"${group.name}" and "${other.name}", which group the rows alike`,
      where: `${where}, groups`,
    });
  }
  return true;
}

/** How many combinations of their levels occur. */
function combinations(groups: readonly ReadGroup[]): number {
  const seen = new Set<string>();
  const rows = groups[0]?.codes.length ?? 0;
  for (let row = 0; row < rows; row++) {
    seen.add(groups.map(({ codes }) => wholeAt(codes, row)).join(" "));
  }
  return seen.size;
}

/** The number of people: levels of the largest group that lies within no other. */
export function outermostLevels(groups: readonly NamedGroup[]): number {
  const outer = groups.filter(({ within }) => within.length === 0);
  return Math.max(...(outer.length > 0 ? outer : groups).map(({ labels }) => labels.length));
}

/** A name for the group whose level stands at an index, for messages. */
export function groupName(groups: readonly NamedGroup[], index: number): string {
  return index < groups.length ? itemAt(groups, index).name : RESIDUAL;
}
