/** A pasted text as cells. Rows are kept as they stand, empty ones too: they part blocks. */
export type Cells = readonly (readonly string[])[];

const LINE = /\r\n|\n|\r/;

/**
 * Text from a spreadsheet, a CSV file or a web page to cells. Tabs part cells when there are any, else semicolons, else commas
 * (when they part every row alike, so that a decimal comma is none), else runs of blanks.
 * @returns rows of trimmed cells; [] for blank text.
 */
export function splitTable(text: string): Cells {
  const lines = text.replace(/^\uFEFF/, '').split(LINE);
  while (lines.length > 0 && (lines.at(-1) ?? '').trim() === '') lines.pop();
  const split = separatorOf(lines);
  return lines.map((line) => (line.trim() === '' ? [] : split(line).map(cleanCell)));
}

function cleanCell(cell: string): string {
  const trimmed = cell.trim();
  return /^".*"$/.test(trimmed) ? trimmed.slice(1, -1).replaceAll('""', '"').trim() : trimmed;
}

function separatorOf(lines: readonly string[]): (line: string) => string[] {
  const full = lines.filter((line) => line.trim() !== '');
  if (full.some((line) => line.includes('\t'))) return (line) => line.split('\t');
  if (full.some((line) => line.includes(';'))) return (line) => line.split(';');
  if (commasPartCells(full)) return splitCommas;
  return (line) => line.trim().split(/\s+/);
}

function splitCommas(line: string): string[] {
  return (
    line
      .match(/("(?:[^"]|"")*"|[^,]*)(,|$)/g)
      ?.slice(0, -1)
      .map((part) => part.replace(/,$/, '')) ?? [line]
  );
}

/** '0,123 2,05' has commas and blanks: those commas are decimal signs. '15243,4.8832,2.3684' has as many in every row: they part. */
function commasPartCells(lines: readonly string[]): boolean {
  const counts = lines.map((line) => line.split(',').length - 1).filter((n) => n > 0);
  if (counts.length < 0.8 * lines.length || counts.length === 0) return false;
  if (lines.filter((line) => /\d,\d/.test(line) && /\d\s+\d/.test(line)).length > 0.5 * lines.length) return false;
  const usual = [...counts].sort((a, b) => a - b)[counts.length >> 1] ?? 0;
  // One comma in a row of its own could be either; two numbers '0.12,1.4' show that points are decimal.
  return usual > 1 || lines.some((line) => /\d\.\d/.test(line)) || lines.some((line) => /[a-z]/i.test(line));
}
