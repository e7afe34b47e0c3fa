import type { Candidate } from '../../../build/index.ts';
import { boostThreshold, type OperatingPointSolved, type ResultUnits, showResult } from '../../../match/index.ts';
import type { CandidateFigures, CandidateResults } from '../../../store/index.ts';
import { findUnit, formatNumber, joined, NO_BREAK_SPACE, NO_NUMBER } from '../../../units/index.ts';
import { type DerivedKind, derivedRows, type FigureText, figureText } from '../../shared/derivedRows.ts';
import { candidateLetter } from '../../shared/display.ts';

/** The turbine of one candidate on the sheet: where its numbers come from and what the line comes to. Its course is in the table of points. */
export interface TurbineBlock {
  letter: string;
  /** What is known of the turbine and from where; or that nothing is. */
  basis: string;
  /** Threshold, range short of the goal, back-pressure at most, what the gate has left; none without a line. */
  results: readonly string[];
}

/** One block a candidate; none where no candidate has a turbine. */
export function turbineBlocks(
  candidates: readonly { index: number; results: CandidateResults }[],
  units: ResultUnits,
): readonly TurbineBlock[] {
  if (candidates.every(({ results }) => results.candidate.turbine.source === 'none')) return [];
  return candidates.map(({ index, results }) => block(index, results, units));
}

function block(index: number, results: CandidateResults, units: ResultUnits): TurbineBlock {
  const letter = candidateLetter(index);
  const basis = basisWords(results.candidate);
  const known = results.points.filter((p): p is OperatingPointSolved => p.status === 'ok' && p.turbine !== null);
  if (known.length === 0) return { letter, basis: `${basis} ${NOT_COMPUTED}`, results: [] };
  return { letter, basis, results: resultWords(results, known, units) };
}

const NOT_COMPUTED = 'Nothing is said of threshold and back-pressure.';

function basisWords(candidate: Candidate): string {
  const { turbine, turbineSheet } = candidate;
  if (turbine.source === 'none') return 'No turbine data.';
  const capacity =
    turbine.source === 'sheet'
      ? `Flow capacity off ${turbineSheet === null ? 'a sheet, none chosen' : `‘${turbineSheet.name}’`}`
      : 'Flow capacity ESTIMATED from wheel and housing';
  const scroll = candidate.housing.scroll === 'twin' ? 'Twin scroll, its two entries added up in steady flow' : '';
  return [capacity, efficiencyWords(candidate), scroll]
    .filter((text) => text !== '')
    .map((text) => `${text}.`)
    .join(' ');
}

function efficiencyWords({ turbine }: Candidate): string {
  const { efficiency, includesBearing, mechanicalEfficiency } = turbine;
  const words = {
    sheet: 'Efficiency from the sheet',
    number: `Efficiency ${typedText(efficiency.value)}`,
    'speed-ratio': `Efficiency ${typedText(efficiency.best)} at best, at U/C0 ${typedText(efficiency.optimum)}`,
  }[efficiency.kind];
  const bearing = includesBearing ? 'bearing losses in it' : `mechanical efficiency ${typedText(mechanicalEfficiency)}`;
  return `${words}, ${bearing}`;
}

function typedText({ text, unit }: { text: string; unit: string }): string {
  const label = findUnit('fraction', unit)?.label ?? '';
  if (text.trim() === '') return '?';
  return label === '' ? text.trim() : `${text.trim()}${NO_BREAK_SPACE}${label}`;
}

function resultWords(
  results: CandidateResults,
  known: readonly OperatingPointSolved[],
  units: ResultUnits,
): readonly string[] {
  const highest = (read: (p: OperatingPointSolved) => number) =>
    known.reduce((best, p) => (read(p) > read(best) ? p : best));
  const most = highest((p) => p.backPressureRatio ?? 0);
  const peak = highest((p) => p.brakePowerW);
  const hottest = highest((p) => p.turbine?.inletTemperatureK ?? 0);
  const at = (p: OperatingPointSolved) => `at ${rpm(p.engineSpeedRpm)}`;
  const share = (p: OperatingPointSolved) => showResult(p.wastegateShare, 'share', units);
  return [
    thresholdWords(results.points),
    `p3/p_m up to ${showResult(most.backPressureRatio, 'pressure-ratio', units)} ${at(most)}`,
    `wastegate flow ${share(peak)} at peak power (${rpm(peak.engineSpeedRpm)})`,
    ...gateWords(known, results, units),
    `inlet up to ${showResult(hottest.turbine?.inletTemperatureK ?? null, 'temperature', units)} ${at(hottest)}`,
    ...(known.some((p) => p.turbine?.choked) ? ['the turbine chokes'] : []),
  ];
}

/** How far the gate must open; of one whose size is not entered the area that it takes, which nobody has checked. */
function gateWords(known: readonly OperatingPointSolved[], { input }: CandidateResults, units: ResultUnits): string[] {
  const needed = (p: OperatingPointSolved) => p.turbine?.gateAreaM2 ?? 0;
  const most = known.reduce((best, p) => (needed(p) > needed(best) ? p : best));
  if (input?.turbine?.hasGate === false || !(needed(most) > 0)) return [];
  const area = (m2: number) => showResult(m2, 'opening', units);
  const { gateAreaM2 } = input?.turbine ?? {};
  const has = gateAreaM2 === undefined ? 'size not entered' : `it has ${area(gateAreaM2)}`;
  return [`gate takes ${area(needed(most))} effective at ${rpm(most.engineSpeedRpm)} (${has})`];
}

function thresholdWords(points: CandidateResults['points']): string {
  const threshold = boostThreshold(points);
  if (threshold === null) return `boost threshold ${NO_NUMBER}`;
  if (threshold.status === 'never') return 'the exhaust holds the goal at no engine speed';
  if (threshold.status === 'below') return `the goal is held from ${rpm(threshold.engineSpeedRpm)}, the lowest, up`;
  const [from, to] = threshold.rangeRpm;
  const short = from === to ? rpm(from) : `${formatNumber(from, 0)} to ${rpm(to)}`;
  return `boost threshold ${rpm(threshold.engineSpeedRpm)}; turbine-limited ${short}`;
}

function rpm(value: number): string {
  return `${formatNumber(Math.round(value / 10) * 10, 0)}${NO_BREAK_SPACE}rpm`;
}

/** Measurements of the wheels and what follows from them: two columns a candidate, compressor and turbine. */
export interface WheelSheet {
  columns: readonly string[];
  /** `kind` where the row follows from the measurements. */
  rows: readonly { kind?: DerivedKind; title: string; cells: readonly string[] }[];
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
export function wheelSheet(candidates: readonly Measured[], results: ResultUnits): WheelSheet {
  const wheels = candidates.flatMap(({ candidate }) => [candidate.wheels.compressor, candidate.wheels.turbine]);
  const ratios = candidates.flatMap(({ candidate: { housing } }) => [
    housing.compressorAreaRadius,
    housing.turbineAreaRadius,
  ]);
  const derived = candidates.map(({ figures, candidate }) =>
    figures === null
      ? []
      : derivedRows(figures, { lengths: candidate.wheels.compressor.exducer.unit === 'in' ? 'in' : 'mm', results }),
  );
  const heads = derived.find((rows) => rows.length > 0) ?? [];
  const all: readonly { kind?: DerivedKind; title: string; figures: readonly FigureText[] }[] = [
    ...LENGTHS.map(({ title, key }) => ({ title, figures: wheels.map((wheel) => typedLength(wheel[key])) })),
    { title: 'Blades, full + splitter', figures: wheels.map((wheel) => ({ number: bladeText(wheel), unit: '' })) },
    { title: 'A/R', figures: ratios.map(typedLength) },
    ...heads.map(({ kind, shared }, i) => ({
      kind,
      title: shared,
      figures: derived.flatMap((rows) => rows[i]?.figures ?? [UNKNOWN, UNKNOWN]),
    })),
  ];
  const rows = all
    .filter(({ figures }) => figures.some(({ number }) => number !== NO_NUMBER))
    .map(({ figures, title, ...row }): Row => {
      const units = new Set(figures.flatMap(({ number, unit }) => (number === NO_NUMBER ? [] : [unit])));
      const [unit] = units;
      // A unit that all cells of a row share stands once, with its title.
      return units.size !== 1 || !unit
        ? { ...row, title, cells: figures.map(figureText) }
        : { ...row, title: `${title}, ${unit}`, cells: figures.map(({ number }) => number) };
    });
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
  const full = rows.find(({ kind }) => kind === 'full-blade-pass');
  const all = rows.find(({ kind }) => kind === 'all-blade-pass');
  if (full === undefined || all === undefined) return rows;
  const cells = full.cells.map((cell, i) => (cell === all.cells[i] ? cell : `${cell} / ${all.cells[i] ?? NO_NUMBER}`));
  const title = full.title.replace('full blades', 'full / all');
  return rows.filter((row) => row !== all).map((row) => (row === full ? { ...full, title, cells } : row));
}

/** Housing, bearing and gate in a sentence; '' when nothing is known. */
export function housingWords({ housing }: Candidate): string {
  const { scroll, bearing, gate } = housing;
  return joined([
    scroll === 'unknown' ? '' : `${scroll} scroll`,
    bearing === 'unknown' ? '' : `${bearing} bearing`,
    gate === 'unknown' ? '' : GATES[gate],
  ]);
}

const GATES = {
  internal: 'internal gate',
  external: 'external gate',
  'variable-vanes': 'variable vanes',
  none: 'no gate',
} as const;

const UNKNOWN: FigureText = { number: NO_NUMBER, unit: '' };

function typedLength({ text, unit }: { text: string; unit: string }): FigureText {
  if (text.trim() === '') return UNKNOWN;
  return { number: text.trim(), unit: findUnit('wheel-length', unit)?.label ?? unit };
}

function bladeText({ fullBlades, splitterBlades }: Candidate['wheels']['compressor']): string {
  const full = fullBlades.text.trim();
  const splitters = splitterBlades.text.trim();
  if (full === '') return NO_NUMBER;
  return splitters === '' ? full : `${full} + ${splitters}`;
}
