interface WithCells {
  readonly cells: readonly { readonly id: string }[];
}

/**
 * Cells that stand in another order than in an earlier revision, each as a clause: "cell
 * response-findings now stands before count-table". The fewest cells are named whose move explains
 * the new order; cells that are new or gone are no moves.
 */
export function cellMoves(earlier: WithCells, now: WithCells): string[] {
  const place = new Map(earlier.cells.map(({ id }, i) => [id, i]));
  const common = now.cells.map(({ id }) => id).filter((id) => place.has(id));
  const stayed = longestRise(common.map((id) => place.get(id) ?? -1));
  return common.flatMap((id, i) => {
    if (stayed.has(i)) return [];
    const next = common[i + 1];
    return [`cell ${id} now stands ${next === undefined ? "last" : `before ${next}`}`];
  });
}

/** Places of a longest rising subsequence: what can have stayed where it was. */
function longestRise(values: readonly number[]): Set<number> {
  const lengths: number[] = [];
  const previous: number[] = [];
  let best = -1;
  for (const [i, value] of values.entries()) {
    let before = -1;
    for (let j = 0; j < i; j++) {
      const rises = (values[j] ?? 0) < value;
      if (rises && (before < 0 || (lengths[j] ?? 0) > (lengths[before] ?? 0))) before = j;
    }
    previous.push(before);
    lengths.push(before < 0 ? 1 : (lengths[before] ?? 0) + 1);
    // Of equally long ones the last is taken, so that a cell is more often named by the next than as the last.
    if (best < 0 || (lengths[i] ?? 0) >= (lengths[best] ?? 0)) best = i;
  }
  const stayed = new Set<number>();
  for (let i = best; i >= 0; i = previous[i] ?? -1) stayed.add(i);
  return stayed;
}
