import type { Candidate } from '../../../build/index.ts';
import type { CandidateFigures } from '../../../store/index.ts';
import { findUnit, NO_BREAK_SPACE, NO_NUMBER } from '../../../units/index.ts';
import { derivedRows } from '../../shared/derivedRows.ts';
import { candidateLetter } from '../../shared/provenance.ts';

/** Measurements of the wheels and what follows from them: two columns a candidate, compressor and turbine. */
export interface WheelSheet {
  columns: readonly string[];
  rows: readonly { title: string; cells: readonly string[] }[];
  /** Nothing was measured on any of them. */
  isEmpty: boolean;
}

interface Measured {
  index: number;
  candidate: Candidate;
  figures: CandidateFigures | null;
}

const LENGTHS: readonly { title: string; key: 'inducer' | 'exducer' | 'tipHeight' }[] = [
  { title: 'Inducer', key: 'inducer' },
  { title: 'Exducer', key: 'exducer' },
  { title: 'Tip height', key: 'tipHeight' },
];

/** Wheel measurements as typed, with what follows from them in the words of the candidate card. Rows that nobody knows are left out. */
export function wheelSheet(candidates: readonly Measured[]): WheelSheet {
  const wheels = candidates.flatMap(({ candidate }) => [candidate.wheels.compressor, candidate.wheels.turbine]);
  const typedRows = [
    ...LENGTHS.map(({ title, key }) => ({ title, cells: wheels.map((wheel) => typedLength(wheel[key])) })),
    { title: 'Blades, full + splitter', cells: wheels.map(bladeText) },
    {
      title: 'A/R',
      cells: candidates.flatMap(({ candidate: { housing } }) => [
        typedLength(housing.compressorAreaRadius),
        typedLength(housing.turbineAreaRadius),
      ]),
    },
  ];
  const derived = candidates.map(({ figures, candidate }) =>
    figures === null
      ? []
      : derivedRows(figures, { lengths: candidate.wheels.compressor.exducer.unit === 'in' ? 'in' : 'mm' }),
  );
  const titles = derived.find((rows) => rows.length > 0)?.map(({ title }) => shortTitle(title)) ?? [];
  const derivedCells = titles.map((title, i) => ({
    title,
    cells: derived.flatMap((rows) => [rows[i]?.compressor ?? NO_NUMBER, rows[i]?.turbine ?? NO_NUMBER]),
  }));
  const rows = [...typedRows, ...derivedCells]
    .filter(({ cells }) => cells.some((cell) => cell !== NO_NUMBER))
    .map(unitInTitle);
  return {
    columns: candidates.flatMap(({ index }) => {
      const letter = candidateLetter(index);
      return [`${letter} compr.`, `${letter} turbine`];
    }),
    rows: bladePassOnce(rows),
    isEmpty: rows.length === 0,
  };
}

type Row = WheelSheet['rows'][number];

/** Both frequencies of a wheel in one row, once where there are no splitters. */
function bladePassOnce(rows: readonly Row[]): readonly Row[] {
  const full = rows.find(({ title }) => title.includes('full blades'));
  const all = rows.find(({ title }) => title.includes('all blades'));
  if (full === undefined || all === undefined) return rows;
  const cells = full.cells.map((cell, i) => (cell === all.cells[i] ? cell : `${cell} / ${all.cells[i] ?? NO_NUMBER}`));
  const title = full.title.replace('full blades', 'full / all');
  return rows.filter((row) => row !== all).map((row) => (row === full ? { title, cells } : row));
}

/** Housing, bearing and gate in a sentence; '' when nothing is known. */
export function housingWords({ housing }: Candidate): string {
  const { scroll, bearing, gate } = housing;
  return [
    scroll === 'unknown' ? '' : `${scroll} scroll`,
    bearing === 'unknown' ? '' : `${bearing} bearing`,
    gate === 'unknown' ? '' : GATES[gate],
  ]
    .filter((word) => word !== '')
    .join(', ');
}

const GATES = {
  internal: 'internal gate',
  external: 'external gate',
  'variable-vanes': 'variable vanes',
  none: 'no gate',
} as const;

/** The shaft speed of a row is that of one candidate: on a sheet with two it would be wrong for the other. */
function shortTitle(title: string): string {
  return title.replace(/ \([^)]*\)$/, '').replace(', there', ', fastest now');
}

/** A unit that all cells of a row share stands once, with its title. */
function unitInTitle({ title, cells }: { title: string; cells: readonly string[] }) {
  const known = cells.filter((cell) => cell !== NO_NUMBER);
  const units = new Set(known.map((cell) => /\u00a0([^\u00a0±\d]+)$/.exec(cell)?.[1] ?? ''));
  const [unit] = units;
  if (units.size !== 1 || unit === undefined || unit === '') return { title, cells };
  return { title: `${title}, ${unit}`, cells: cells.map((cell) => cell.replace(`${NO_BREAK_SPACE}${unit}`, '')) };
}

function typedLength({ text, unit }: { text: string; unit: string }): string {
  if (text.trim() === '') return NO_NUMBER;
  const label = (findUnit('wheel-length', unit) ?? findUnit('length', unit))?.label ?? unit;
  return `${text.trim()}${NO_BREAK_SPACE}${label}`;
}

function bladeText({ fullBlades, splitterBlades }: Candidate['wheels']['compressor']): string {
  const full = fullBlades.text.trim();
  const splitters = splitterBlades.text.trim();
  if (full === '') return NO_NUMBER;
  return splitters === '' ? full : `${full} + ${splitters}`;
}
