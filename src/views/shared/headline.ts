import type { OperatingPoint, OperatingPointSolved } from '../../match/index.ts';
import { formatNumber, NO_BREAK_SPACE, NO_NUMBER } from '../../units/index.ts';
import { marginSize } from './marginWords.ts';
import { type ResultUnits, showResult } from './resultUnits.ts';

/** One headline number of a candidate: what, how much, and at which engine speed or with which margin. */
export interface HeadlineNumber {
  key: 'power' | 'torque' | 'shaft-speed' | 'surge-margin';
  title: string;
  /** The same where room is short. */
  shortTitle: string;
  value: string;
  /** 'at 6,400 rpm'; '' where there is no point. */
  detail: string;
  /** Engine speed that the number belongs to. */
  engineSpeedRpm: number | null;
}

/**
 * The numbers that a customer asks for first. Power at the wheels, torque at the crankshaft, the highest shaft speed with its margin, the
 * least surge margin; '–' where the line has no point that knows it.
 */
export function headline(points: readonly OperatingPoint[], units: ResultUnits): readonly HeadlineNumber[] {
  const solved = points.filter((point): point is OperatingPointSolved => point.status === 'ok');
  const power = largest(solved, (point) => point.wheelPowerW);
  const torque = largest(solved, (point) => point.torqueNm);
  const speed = largest(solved, (point) => point.shaftSpeedRpm);
  const surge = largest(solved, (point) => (point.surgeMargin === null ? null : -point.surgeMargin));
  return [
    number('power', ['Peak wheel power', 'Wheel power'], power, showResult(power?.wheelPowerW, 'power', units)),
    number('torque', ['Peak torque', 'Torque'], torque, showResult(torque?.torqueNm, 'torque', units)),
    {
      ...number(
        'shaft-speed',
        ['Top shaft speed', 'Shaft speed'],
        speed,
        showResult(speed?.shaftSpeedRpm, 'shaft-speed', units),
      ),
      ...(speed === null ? {} : { detail: marginWords(speed) }),
    },
    number(
      'surge-margin',
      ['Least surge margin', 'Surge margin'],
      surge,
      showResult(surge?.surgeMargin, 'margin', units),
    ),
  ];
}

function marginWords(point: OperatingPointSolved): string {
  if (point.speedMargin === null) return 'no limit entered';
  const share = marginSize(point.speedMargin);
  return point.speedMargin >= 0 ? `${share} to limit` : `${share} over limit`;
}

function number(
  key: HeadlineNumber['key'],
  [title, shortTitle]: readonly [string, string],
  point: OperatingPointSolved | null,
  value: string,
): HeadlineNumber {
  const detail =
    point === null || value === NO_NUMBER ? '' : `at ${formatNumber(point.engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm`;
  return { key, title, shortTitle, value, detail, engineSpeedRpm: point?.engineSpeedRpm ?? null };
}

/** The point with the largest value; points whose value is null do not count. */
function largest(
  points: readonly OperatingPointSolved[],
  value: (point: OperatingPointSolved) => number | null,
): OperatingPointSolved | null {
  let best: OperatingPointSolved | null = null;
  let bestValue = Number.NEGATIVE_INFINITY;
  for (const point of points) {
    const candidate = value(point);
    if (candidate !== null && candidate > bestValue) {
      best = point;
      bestValue = candidate;
    }
  }
  return best;
}
