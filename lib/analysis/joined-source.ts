import type { SourceRecord } from "../study/tables/source-record.js";

/** The rows behind several sources together: files once, rows added up, golfers once. */
export function joinedSource(...sources: readonly SourceRecord[]): SourceRecord {
  const reasons = new Map<string, number>();
  for (const { setAside } of sources) {
    for (const { reason, rows } of setAside) reasons.set(reason, (reasons.get(reason) ?? 0) + rows);
  }
  return {
    files: [...new Set(sources.flatMap(({ files }) => files))],
    rowsUsed: sources.reduce((total, { rowsUsed }) => total + rowsUsed, 0),
    setAside: [...reasons].map(([reason, rows]) => ({ reason, rows })),
    participants: [...new Set(sources.flatMap(({ participants }) => participants))],
  };
}
