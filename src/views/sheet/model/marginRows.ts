import {
  type ComparisonKey,
  extremeOf,
  fullTitle,
  LIMIT_KEYS,
  LIMITS,
  LINE_RESULTS,
  type LineResult,
  marginSize,
  type OperatingPointSolved,
  RESULTS,
  type ResultKey,
  type ResultUnits,
  showLimit,
  showPoint,
} from '../../../match/index.ts';
import type { CandidateResults } from '../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE, NO_NUMBER, rpmText } from '../../../units/index.ts';
import type { DifferenceRow } from '../../shared/comparison.ts';

/** How one limit fares on a candidate's line; or another number of it, where nothing is asked. */
export interface MarginCell {
  /** What is asked for: '170,000 rpm less 3 %'; '' for no limit. */
  asked: string;
  /** The worst value on the line. */
  worst: string;
  /** '5,500 rpm' of the engine; '' where there is no such point. */
  at: string;
  /** As the findings have it: a margin that is less than asked, and a duty over the shop's limit, are a caution. */
  word: 'holds' | 'caution' | 'crossed' | '' | 'not known';
}

/** The second candidate against the first. */
interface MarginDifference {
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
  result: ResultKey;
  side: 'most' | 'least';
  /** The row of the comparison that is about the same number. */
  compared: ComparisonKey | undefined;
  asked: (line: Line) => number | undefined;
}

const COMPARED = Object.entries(LINE_RESULTS) as [ComparisonKey, LineResult][];

/** Every limit on a number of a point, and that of the injectors. */
const KINDS: readonly LimitKind[] = [
  ...LIMIT_KEYS.flatMap((key): LimitKind[] => {
    const { bounds, asked } = LIMITS[key];
    if (bounds === undefined) return [];
    const { result, side } = bounds;
    const take = side === 'least' ? 'lowest' : 'highest';
    return [
      {
        ...bounds,
        compared: COMPARED.find(([, row]) => row.of === result && row.take === take)?.[0],
        asked: ({ input }) => asked(input?.limits ?? {}, input ?? undefined),
      },
    ];
  }),
  {
    result: 'injectorDuty',
    side: 'most',
    compared: undefined,
    asked: ({ input }) => input?.engine.fuelSupply?.dutyLimit,
  },
];

/**
 * Every limit that is asked for with what the lines of the candidates come to at their worst, and with two candidates what else tells them
 * apart.
 *
 * @param differences of the second against the first; null with one candidate, or where one has no line
 */
export function marginRows(
  lines: readonly Line[],
  differences: readonly DifferenceRow[] | null,
  units: ResultUnits,
): MarginRow[] {
  const limitRows = KINDS.map((kind): MarginRow => {
    const cells = lines.map((line) => limitCell(kind, line, units));
    const row = differences?.find(({ key }) => key === kind.compared);
    return {
      title: fullTitle(kind.result === 'speedMargin' ? 'shaftSpeedRpm' : kind.result, units),
      asked: askedOf(cells),
      cells,
      against: row === undefined ? null : againstOf(row),
    };
  });
  const limits = limitRows.filter(({ asked, against }) => asked.length > 0 || against !== null);
  const shown = new Set(KINDS.flatMap(({ compared }) => compared ?? []));
  const others = (differences ?? [])
    .filter(({ key }) => !shown.has(key))
    .map(
      (row): MarginRow => ({
        // Another number than the worst of the row above of that name: it is read where both are compared.
        title: limits.some(({ title }) => title === row.title) ? `${row.title}, compared` : row.title,
        asked: [],
        cells: [cellOf(row.a, row.aAt), cellOf(row.b, row.bAt)],
        against: againstOf(row),
      }),
    );
  return [...limits, ...others];
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

function limitCell({ result, side, asked: askedOfLine }: LimitKind, line: Line, units: ResultUnits): MarginCell {
  const limit = askedOfLine(line);
  const asked = limit === undefined ? '' : askedWords(result, side, limit, line, units);
  const points = line.points.filter((point): point is OperatingPointSolved => point.status === 'ok');
  const found = extremeOf(points, result, side === 'least' ? 'lowest' : 'highest');
  // Without a limit there is no margin, but the fastest point is still worth its line.
  const fastest = result === 'speedMargin' ? extremeOf(points, 'shaftSpeedRpm', 'highest')?.point : undefined;
  if (found === null && fastest !== undefined) {
    return { asked, worst: showPoint('shaftSpeedRpm', fastest, units), at: rpmText(fastest.engineSpeedRpm), word: '' };
  }
  if (found === null)
    return { asked, worst: NO_NUMBER, at: '', word: points.length === 0 && asked === '' ? '' : 'not known' };
  const { point, value } = found;
  const isHeld = limit === undefined || (side === 'least' ? value >= limit : value <= limit);
  const isNear = side === 'least' ? value >= 0 : result === 'injectorDuty' && value <= 1;
  return {
    asked,
    worst:
      result === 'speedMargin'
        ? `${marginSize(value)} ${value < 0 ? 'over' : 'in hand'}`
        : showPoint(result, point, units),
    at: rpmText(point.engineSpeedRpm),
    word: limit === undefined ? '' : isHeld ? 'holds' : isNear ? 'caution' : 'crossed',
  };
}

function askedWords(
  result: ResultKey,
  side: 'most' | 'least',
  limit: number,
  { input }: Line,
  units: ResultUnits,
): string {
  if (result === 'speedMargin') {
    const most = rpmText(input?.limits.shaftSpeedRpm ?? input?.compressor.limits.shaftSpeedRpm ?? Number.NaN);
    return limit === 0 ? most : `${most} less ${percent(limit)}`;
  }
  return side === 'least' ? `at least ${percent(limit)}` : `at most ${showLimit(limit, RESULTS[result].shown, units)}`;
}

function percent(share: number): string {
  return `${formatNumber(share * 100, 1)}${NO_BREAK_SPACE}%`.replace('.0', '');
}
