import type { Comparison } from "../notebook/compare.js";

/** What a notebook says of itself under `tautline` in its metadata. */
export interface NotebookVersion {
  /** Version that the notebook states of itself. */
  readonly version: string | undefined;
  /** What changed at each version, oldest first. */
  readonly changes: readonly {
    readonly version: string;
    readonly date: string;
    readonly what: string;
  }[];
}

interface WithMetadata {
  readonly metadata: Readonly<Record<string, unknown>>;
}

/** A notebook's version and the changes it lists. */
export function versionOf({ metadata }: WithMetadata): NotebookVersion {
  const recorded = (metadata.tautline ?? {}) as { version?: unknown; changes?: unknown };
  const changes = Array.isArray(recorded.changes) ? recorded.changes : [];
  return {
    version: typeof recorded.version === "string" ? recorded.version : undefined,
    changes: changes.filter(
      (change): change is NotebookVersion["changes"][number] =>
        typeof change?.version === "string" && typeof change.what === "string",
    ),
  };
}

/** Whether findings moved since an earlier record, and whether the notebook says so. */
export interface MoveNotice {
  /** Version in the earlier record. */
  readonly versionThen: string | undefined;
  /** Version in the notebook now. */
  readonly versionNow: string | undefined;
  /** Ids of the findings that are different or missing. */
  readonly moved: readonly string[];
  /** What to do; left out when nothing moved or when the notebook tells of it. */
  readonly advice?: string;
}

/**
 * A reader who cites a finding cites a version of the notebook, so that a finding may not change
 * under the same version.
 * @param comparison the earlier record against what the notebook shows now
 * @param cellsMoved cells that stand in another order than in the earlier record
 */
export function moveNotice(
  earlier: WithMetadata,
  now: WithMetadata,
  comparison: Comparison,
  cellsMoved: readonly string[] = [],
): MoveNotice {
  const moved = comparison.judgements
    .filter(({ kind, verdict }) => kind === "finding" && /^(?:different|missing)$/.test(verdict))
    .map(({ id }) => id);
  const versionNow = versionOf(now);
  const notice = { versionThen: versionOf(earlier).version, versionNow: versionNow.version, moved };
  if (moved.length === 0 && cellsMoved.length === 0) return notice;
  const what = moved.length > 0 ? "findings moved" : "cells moved";
  const entry = "add an entry {version, date, what} to metadata.tautline.changes";
  if (notice.versionNow === undefined || notice.versionNow === notice.versionThen) {
    const version = notice.versionNow ?? "not given";
    const advice = `${what}, but the version is still ${version}. If the move is meant, raise metadata.tautline.version and ${entry} that says what changed; then run rebuild.`;
    return { ...notice, advice };
  }
  if (versionNow.changes.some(({ version }) => version === versionNow.version)) return notice;
  return {
    ...notice,
    advice: `${what} and the version is now ${versionNow.version}, but no change tells why: ${entry}.`,
  };
}
