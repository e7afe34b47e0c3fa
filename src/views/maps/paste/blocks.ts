import { cellNumber } from './cellNumber.ts';
import type { Cells } from './splitTable.ts';

/** Speed written into a table of points: '90000', '90,000 rpm', 'Speed 90000', 'N = 90000 1/min', '80 %'. */
const SPEED_WORDS = /^(?:.*?[\s=:])?([\d.,' \u00a0\u202f]+)\s*(rpm|1\/min|min-1|rev\/min|%)?\s*:?$/i;

/** A lone speed in a row of its own; null when the row is something else. */
function loneSpeed(row: readonly string[]): string | null {
  const full = row.filter((cell) => cell !== '');
  if (full.length === 0 || full.length > 3) return null;
  const joined = full.join(' ');
  if (full.filter((cell) => cellNumber(cell) !== null).length > 1) return null;
  const match = SPEED_WORDS.exec(joined.trim());
  const text = match?.[1]?.trim();
  if (text === undefined || text === '') return null;
  const value = cellNumber(text, true);
  return value !== null && value >= 20 ? text : null;
}

/**
 * Layouts in which the speed is not a column, brought to one table whose first column is the speed:
 * blocks one under the other, each under a row that holds only the speed; and blocks side by side, a row of speeds over pairs or
 * triples of columns.
 * @returns null when the cells are neither.
 */
export function unfoldBlocks(cells: Cells): Cells | null {
  return stacked(cells) ?? sideBySide(cells);
}

function stacked(cells: Cells): Cells | null {
  const heads = cells.map(loneSpeed);
  const rows: string[][] = [];
  let header: readonly string[] | null = null;
  let speed: string | null = null;
  let blocks = 0;
  cells.forEach((row, i) => {
    const head = heads[i] ?? null;
    if (head !== null) {
      speed = head;
      blocks++;
    } else if (row.some((cell) => cell !== '')) {
      const numbers = row.filter((cell) => cellNumber(cell) !== null).length;
      if (numbers >= 2 && speed !== null) rows.push([speed, ...row]);
      else if (numbers === 0 && header === null) header = row;
    }
  });
  if (blocks < 1 || rows.length < 2) return null;
  const named: readonly string[] | null = header;
  return named === null ? rows : [['speed', ...(named as readonly string[])], ...rows];
}

function sideBySide(cells: Cells): Cells | null {
  const at = cells.findIndex((row) => row.some((cell) => cell !== ''));
  const top = cells[at];
  if (!top) return null;
  const heads = top.flatMap((cell, column) => {
    const text = cell === '' ? null : (SPEED_WORDS.exec(cell)?.[1]?.trim() ?? null);
    const value = text === null ? null : cellNumber(text, true);
    return text !== null && value !== null && value >= 20 ? [{ column, text }] : [];
  });
  const first = heads[0];
  const second = heads[1];
  if (!first || !second || top.filter((cell) => cell !== '').length !== heads.length) return null;
  const width = second.column - first.column;
  if (width < 2 || width > 4 || heads.some((h, i) => h.column !== first.column + i * width)) return null;
  const body = cells.slice(at + 1);
  const names = body[0]?.every((cell) => cell === '' || cellNumber(cell) === null) ? body[0] : null;
  const rows = heads.flatMap(({ column, text }) =>
    body.slice(names ? 1 : 0).flatMap((row) => {
      const part = row.slice(column, column + width);
      return part.some((cell) => cell !== '') ? [[text, ...part]] : [];
    }),
  );
  if (rows.length < 2) return null;
  return names ? [['speed', ...names.slice(first.column, first.column + width)], ...rows] : rows;
}
