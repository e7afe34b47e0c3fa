import type { Build } from '../../../build/index.ts';
import type { ComparisonKey, OperatingPointSolved } from '../../../match/index.ts';
import { marginSize, type ResultUnits, type Shown, showResult } from '../../../match/index.ts';
import type { CandidateResults } from '../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE, NO_NUMBER } from '../../../units/index.ts';
import type { DifferenceRow } from '../../shared/comparison.ts';

/** How one limit fares on a candidate's line; or another number of it, where nothing is asked. */
export interface MarginCell {
  /** What is asked for: '170,000 rpm less 3 %'; '' for no limit. */
  asked: string;
  /** The worst value on the line. */
  worst: string;
  /** '5,500 rpm' of the engine; '' where there is no such point. */
  at: string;
  word: 'holds' | 'crossed' | '' | 'not known';
}

/** The second candidate against the first. */
export interface MarginDifference {
  difference: string;
  verdict: DifferenceRow['verdict'];
  word: string;
}

export interface MarginRow {
  title: string;
  /** One line for all candidates, or one each where they differ; none where nothing is asked. */
  asked: readonly string[];
  /** One cell a candidate. */
  cells: readonly MarginCell[];
  /** null: the row is not compared, or there is one candidate. */
  against: MarginDifference | null;
}

type Line = Pick<CandidateResults, 'input' | 'points'>;

interface LimitKind {
  title: string;
  /** The row of the comparison that is about the same number. */
  compared?: ComparisonKey;
  /** The value of a point in SI; null: not known there. */
  value: (point: OperatingPointSolved) => number | null;
  /** The worst value is the largest or the smallest. */
  worst: 'largest' | 'smallest';
  shown: Shown;
  limit: (line: Line, build: Build) => number | null;
  /** The limit in words, where it is more than its number. */
  asked?: (line: Line, units: ResultUnits) => string;
  said?: (point: OperatingPointSolved, units: ResultUnits) => string;
  /** Without a limit there is no margin, but the fastest point is still worth its line. */
  orFastest?: true;
}

const limits = (line: Line) => line.input?.limits ?? {};

const KINDS: readonly LimitKind[] = [
  {
    title: 'Shaft speed',
    orFastest: true,
    compared: 'speed-margin',
    value: (p) => p.speedMargin,
    worst: 'smallest',
    shown: 'margin',
    limit: (line) => (shaftLimit(line) === null ? null : (limits(line).shaftSpeedReserve ?? 0)),
    asked: (line) => {
      const { shaftSpeedReserve = 0 } = limits(line);
      const most = rpm(shaftLimit(line) ?? Number.NaN);
      return shaftSpeedReserve === 0 ? most : `${most} less ${percent(shaftSpeedReserve)}`;
    },
    said: (p) => `${marginSize(p.speedMargin)} ${(p.speedMargin ?? 0) < 0 ? 'over' : 'in hand'}`,
  },
  {
    title: 'Surge margin',
    compared: 'surge-margin',
    value: (p) => p.surgeMargin,
    worst: 'smallest',
    shown: 'margin',
    limit: (line) => limits(line).surgeMargin ?? 0,
    asked: (line) => `at least ${percent(limits(line).surgeMargin ?? 0)}`,
  },
  {
    title: 'Choke margin',
    compared: 'choke-margin',
    value: (p) => p.chokeMargin,
    worst: 'smallest',
    shown: 'margin',
    limit: (line) => limits(line).chokeMargin ?? 0,
    asked: (line) => `at least ${percent(limits(line).chokeMargin ?? 0)}`,
  },
  {
    title: 'Outlet temperature',
    compared: 'outlet-temperature',
    value: (p) => p.compressorOutletTemperatureK,
    worst: 'largest',
    shown: 'temperature',
    limit: (line) => limits(line).compressorOutletTemperatureK ?? null,
  },
  {
    title: 'Manifold pressure, abs.',
    value: (p) => p.manifoldPressurePa,
    worst: 'largest',
    shown: 'absolute-pressure',
    limit: (line) => limits(line).manifoldPressurePa ?? null,
  },
  {
    title: 'Crank power at the goal',
    compared: 'power-at-goal',
    value: (p) => p.brakePowerW,
    worst: 'largest',
    shown: 'power',
    limit: (line) => limits(line).brakePowerW ?? null,
  },
  {
    title: 'Back-pressure ratio p3/p_m',
    value: (p) => p.backPressureRatio,
    worst: 'largest',
    shown: 'pressure-ratio',
    limit: (line) => limits(line).backPressureRatio ?? null,
  },
  {
    title: 'Turbine inlet temperature',
    value: (p) => p.turbine?.inletTemperatureK ?? null,
    worst: 'largest',
    shown: 'temperature',
    limit: (line) => limits(line).turbineInletTemperatureK ?? null,
  },
  {
    title: 'Injector duty',
    value: (p) => p.injectorDuty,
    worst: 'largest',
    shown: 'share',
    limit: (line) => line.input?.engine.fuelSupply?.dutyLimit ?? null,
  },
];

/**
 * Every limit that is asked for with what the lines of the candidates come to at their worst, and with two candidates what else tells them
 * apart.
 *
 * @param differences of the second against the first; null with one candidate, or where one has no line
 */
export function marginRows(
  build: Build,
  lines: readonly Line[],
  differences: readonly DifferenceRow[] | null,
  units: ResultUnits,
): MarginRow[] {
  const limitRows = KINDS.map((kind): MarginRow => {
    const cells = lines.map((line) => limitCell(kind, line, build, units));
    const row = differences?.find(({ key }) => key === kind.compared);
    return { title: kind.title, asked: askedOf(cells), cells, against: row === undefined ? null : againstOf(row) };
  });
  const told = limitRows.filter(({ asked, against }) => asked.length > 0 || against !== null);
  const shown = new Set(KINDS.flatMap(({ compared }) => compared ?? []));
  const others = (differences ?? [])
    .filter(({ key }) => !shown.has(key))
    .map(
      (row): MarginRow => ({
        title: row.title,
        asked: [],
        cells: [cellOf(row.a, row.aAt), cellOf(row.b, row.bAt)],
        against: againstOf(row),
      }),
    );
  return [...told, ...others];
}

/** Once where all candidates are asked the same. */
function askedOf(cells: readonly MarginCell[]): readonly string[] {
  const asked = [...new Set(cells.map((cell) => cell.asked))];
  return asked.length === 1 ? asked.filter((text) => text !== '') : cells.map((cell) => cell.asked || 'no limit');
}

function againstOf({ difference, verdict, word }: DifferenceRow): MarginDifference {
  return { difference, verdict, word };
}

function cellOf(worst: string, at: string): MarginCell {
  return { asked: '', worst, at, word: '' };
}

function limitCell(kind: LimitKind, line: Line, build: Build, units: ResultUnits): MarginCell {
  const limit = kind.limit(line, build);
  const point = worstPoint(kind, line);
  const value = point === null ? null : kind.value(point);
  const asked = limit === null ? '' : (kind.asked?.(line, units) ?? `at most ${showResult(limit, kind.shown, units)}`);
  if (point === null) return { asked, worst: NO_NUMBER, at: '', word: limit === null ? '' : 'not known' };
  // A shaft without a limit has a speed but no margin; a line without a turbine knows nothing of one.
  if (value === null && !kind.orFastest) return { asked, worst: NO_NUMBER, at: '', word: 'not known' };
  if (value === null) return { asked, worst: rpm(point.shaftSpeedRpm), at: rpm(point.engineSpeedRpm), word: '' };
  return {
    asked,
    worst: kind.said?.(point, units) ?? showResult(value, kind.shown, units),
    at: rpm(point.engineSpeedRpm),
    word: limit === null ? '' : isHeld(kind, value, limit) ? 'holds' : 'crossed',
  };
}

function isHeld({ worst }: LimitKind, value: number, limit: number): boolean {
  return worst === 'smallest' ? value >= limit : value <= limit;
}

function worstPoint(kind: LimitKind, { points }: Line): OperatingPointSolved | null {
  let found: OperatingPointSolved | null = null;
  let worst: number | null = null;
  const sign = kind.worst === 'largest' ? 1 : -1;
  for (const point of points) {
    if (point.status !== 'ok') continue;
    const value = kind.value(point);
    if (value === null || (worst !== null && sign * value <= sign * worst)) continue;
    worst = value;
    found = point;
  }
  return found ?? fastest(kind, points);
}

function fastest({ orFastest }: LimitKind, points: Line['points']): OperatingPointSolved | null {
  if (!orFastest) return null;
  let found: OperatingPointSolved | null = null;
  for (const p of points) if (p.status === 'ok' && p.shaftSpeedRpm > (found?.shaftSpeedRpm ?? 0)) found = p;
  return found;
}

function shaftLimit({ input }: Line): number | null {
  return input?.limits.shaftSpeedRpm ?? input?.compressor.limits.shaftSpeedRpm ?? null;
}

function rpm(value: number): string {
  return `${formatNumber(value, 0)}${NO_BREAK_SPACE}rpm`;
}

function percent(share: number): string {
  return `${formatNumber(share * 100, 1)}${NO_BREAK_SPACE}%`.replace('.0', '');
}
