/** Row numbers of each label (a person, an arm), labels in order of first appearance. */
export function groupRows(label: readonly string[]): Map<string, number[]> {
  const groups = new Map<string, number[]>();
  for (const [row, name] of label.entries()) {
    const rows = groups.get(name);
    if (rows) rows.push(row);
    else groups.set(name, [row]);
  }
  return groups;
}
