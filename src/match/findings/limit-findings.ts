import { shaftSpeedLimit } from '../operating-line.ts';
import type { Finding, MatchInput, OperatingPoint, OperatingPointSolved } from '../types.ts';
import { finding, runsOf, worstOf } from './runs.ts';

/** One run a finding, its values taken where the score is highest. */
export function overRuns(
  points: readonly OperatingPoint[],
  holds: (point: OperatingPointSolved) => boolean,
  score: (point: OperatingPointSolved) => number,
  make: (
    worst: OperatingPointSolved,
    place: { engineSpeedRpm: number; rangeRpm: readonly [number, number] },
  ) => Finding,
): Finding[] {
  const hits = runsOf<OperatingPointSolved>(points, (point) =>
    point.status === 'ok' && holds(point) ? { key: 'hit', point } : null,
  );
  return hits.map(({ run }) => {
    const worst = worstOf(run.points, score);
    return make(worst, { engineSpeedRpm: worst.engineSpeedRpm, rangeRpm: run.rangeRpm });
  });
}

/** What is said about the limits of the shaft, the charge and the engine. */
export function limitFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  return [
    ...speedFindings(points, input),
    ...ceiling(
      points,
      input.limits.compressorOutletTemperatureK,
      (p) => p.compressorOutletTemperatureK,
      (T, limitK) => ['outlet-temperature', { temperatureK: T, limitK }] as const,
    ),
    ...ceiling(
      points,
      input.limits.manifoldPressurePa,
      (p) => p.manifoldPressurePa,
      (pressurePa, limitPa) => ['manifold-pressure', { pressurePa, limitPa }] as const,
    ),
    ...ceiling(
      points,
      input.limits.brakePowerW,
      (p) => p.brakePowerW,
      (powerW, limitW) => ['brake-power', { powerW, limitW }] as const,
    ),
    // Without a turbine both are 0: nothing is known of them.
    ...ceiling(
      points,
      input.limits.backPressureRatio,
      (p) => p.backPressureRatio ?? 0,
      (backPressureRatio, limitRatio) => ['back-pressure', { backPressureRatio, limitRatio }] as const,
    ),
    ...ceiling(
      points,
      input.limits.turbineInletTemperatureK,
      (p) => p.turbine?.inletTemperatureK ?? 0,
      (T, limitK) => ['turbine-temperature', { temperatureK: T, limitK }] as const,
    ),
  ];
}

/** A goal set exactly at the limit must not be told off for the last digit. */
const ROUNDING = 1 + 1e-9;

type Ceiling =
  | readonly ['outlet-temperature', { temperatureK: number; limitK: number }]
  | readonly ['manifold-pressure', { pressurePa: number; limitPa: number }]
  | readonly ['brake-power', { powerW: number; limitW: number }]
  | readonly ['back-pressure', { backPressureRatio: number; limitRatio: number }]
  | readonly ['turbine-temperature', { temperatureK: number; limitK: number }];

function ceiling(
  points: readonly OperatingPoint[],
  limit: number | undefined,
  read: (point: OperatingPointSolved) => number,
  name: (value: number, limit: number) => Ceiling,
): Finding[] {
  if (limit === undefined) return [];
  return overRuns(
    points,
    (p) => read(p) > limit * ROUNDING,
    read,
    (worst, place) => {
      const [code, values] = name(read(worst), limit);
      return { severity: 'stop', code, values, ...place };
    },
  );
}

function speedFindings(points: readonly OperatingPoint[], input: MatchInput): Finding[] {
  const limitRpm = shaftSpeedLimit(input);
  if (limitRpm === undefined) return noSpeedLimit(points);
  const reserve = input.limits.shaftSpeedReserve ?? 0;
  const margin = (p: OperatingPointSolved) => 1 - p.shaftSpeedRpm / limitRpm;
  const speed = (p: OperatingPointSolved) => p.shaftSpeedRpm;
  const values = (p: OperatingPointSolved) => ({ shaftSpeedRpm: p.shaftSpeedRpm, limitRpm, margin: margin(p) });
  const over = overRuns(
    points,
    (p) => margin(p) < 0,
    speed,
    (worst, place) => finding('stop', 'overspeed', values(worst), place),
  );
  const within = overRuns(
    points,
    (p) => margin(p) >= 0 && margin(p) < reserve - 1e-9,
    speed,
    (worst, place) => finding('caution', 'speed-reserve', { ...values(worst), reserve }, place),
  );
  return [...over, ...within];
}

function noSpeedLimit(points: readonly OperatingPoint[]): Finding[] {
  const solved = points.filter((p) => p.status === 'ok');
  if (solved.length === 0) return [];
  const fastest = worstOf(solved, (p) => p.shaftSpeedRpm);
  return [
    finding(
      'note',
      'no-speed-limit',
      { shaftSpeedRpm: fastest.shaftSpeedRpm },
      { engineSpeedRpm: fastest.engineSpeedRpm },
    ),
  ];
}
