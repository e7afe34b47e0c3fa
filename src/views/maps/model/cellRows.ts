/** Tables of texts under named columns: how grids change them. A change that changes nothing gives the same rows back. */

export function toCells<K extends string>(
  rows: readonly Readonly<Record<K, string>>[],
  keys: readonly K[],
): string[][] {
  return rows.map((row) => keys.map((key) => row[key]));
}

/** A block of texts put at a cell; rows are added where there are too few. */
export function putCells<K extends string>(
  rows: readonly Readonly<Record<K, string>>[],
  keys: readonly K[],
  at: { row: number; column: number },
  matrix: readonly (readonly string[])[],
): readonly Readonly<Record<K, string>>[] {
  const next = [...rows];
  let changed = false;
  matrix.forEach((cells, i) => {
    while (next.length <= at.row + i) next.push(emptyRow(keys));
    const old = next[at.row + i]!;
    const row: Record<K, string> = { ...old };
    cells.forEach((text, k) => {
      const key = keys[at.column + k];
      if (key !== undefined) row[key] = text.trim() === text ? text : text.trim();
    });
    if (keys.every((key) => row[key] === old[key])) return;
    next[at.row + i] = row;
    changed = true;
  });
  return changed || next.length > rows.length ? next : rows;
}

export function emptyRow<K extends string>(keys: readonly K[]): Readonly<Record<K, string>> {
  return Object.fromEntries(keys.map((key) => [key, ''])) as Record<K, string>;
}
