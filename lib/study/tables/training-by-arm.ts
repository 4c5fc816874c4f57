import { quantile } from "../../stats/describe.js";
import { frozen } from "../../stats/estimate.js";
import type { Study } from "../study.js";
import { hasColumn } from "./selection.js";
import { isNumber } from "./training.js";

/** What the training log holds for one arm. */
export interface ArmTraining {
  /** Name of this record. */
  readonly kind: "armTraining";
  /** Title of the arm. */
  readonly title: string;
  /** Golfers of the arm. */
  readonly people: number;
  /** Bouts of training in the log, those marked completed, and those with any discomfort. */
  readonly logged: number;
  /** Bouts marked completed. */
  readonly completed: number;
  /** Bouts with any discomfort. */
  readonly discomfort: number;
  /** Median of the minutes of a completed bout. */
  readonly minutes?: number;
}

interface Bout {
  readonly participant: string;
  readonly arm: string;
  readonly minutes: number | null;
  readonly completed: string | null;
  readonly discomfort: string | null;
}

/** Counts the bouts of the training log by arm; arms without a bout are left out. */
export function trainingByArm({ trainingLog, design }: Study): ArmTraining[] {
  if (trainingLog.totalRows() === 0 || !hasColumn(trainingLog, "completed")) return [];
  const bouts = trainingLog.objects() as Bout[];
  return design.arms.flatMap(({ id, title }) => {
    const boutsInArm = bouts.filter(({ arm }) => arm === id);
    return boutsInArm.length > 0 ? [armTraining(title, boutsInArm)] : [];
  });
}

function armTraining(title: string, bouts: readonly Bout[]): ArmTraining {
  const done = bouts.filter(({ completed }) => completed === "yes");
  const minutes = done.map((bout) => bout.minutes).filter(isNumber);
  return frozen({
    kind: "armTraining",
    title,
    people: new Set(bouts.map(({ participant }) => participant)).size,
    logged: bouts.length,
    completed: done.length,
    discomfort: bouts.filter(({ discomfort }) => discomfort && discomfort !== "none").length,
    ...(minutes.length > 0 ? { minutes: quantile(minutes, 0.5) } : {}),
  });
}
