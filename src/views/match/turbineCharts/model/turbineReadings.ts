import type { OperatingPoint } from '../../../../match/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../../units/index.ts';
import { type ResultUnits, showResult } from '../../../shared/resultUnits.ts';
import { isDriven } from './turbineSide.ts';

/** Cells of the read-out, always the same in the same order, so that nothing jumps. */
export const TURBINE_CELLS = [
  { key: 'pressure', title: 'p3 absolute' },
  { key: 'ratio', title: 'p3/p_m' },
  { key: 'expansion', title: 'Expansion ratio' },
  { key: 'gate', title: 'Gate share' },
  { key: 'temperature', title: 'Inlet temp.' },
  { key: 'held', title: 'Boost held by' },
] as const;

export type TurbineCell = (typeof TURBINE_CELLS)[number]['key'];

/** What the turbine does at one engine speed, in the user's units. '–' where it is not known. */
export function turbineReadings(
  point: OperatingPoint | null,
  units: ResultUnits,
): Readonly<Record<TurbineCell, string>> {
  const driven = point !== null && point.status === 'ok' && isDriven(point) ? point : null;
  return {
    pressure: showResult(driven?.turbineInletPressurePa, 'absolute-pressure', units),
    ratio: showResult(driven?.backPressureRatio, 'pressure-ratio', units),
    expansion: showResult(driven?.expansionRatio, 'pressure-ratio', units),
    gate: driven !== null && driven.wastegateShare <= 0 ? 'shut' : showResult(driven?.wastegateShare, 'share', units),
    temperature: showResult(driven?.turbine.inletTemperatureK, 'temperature', units),
    held: driven === null ? (point !== null && point.status !== 'ok' ? point.message : '–') : heldWords(driven.turbine),
  };
}

function heldWords({
  heldBy,
  reachedShare,
  choked,
}: {
  heldBy: 'goal' | 'turbine';
  reachedShare: number;
  choked: boolean;
}) {
  const chokedWords = choked ? ', turbine choked' : '';
  if (heldBy === 'goal') return `the gate, at the goal${chokedWords}`;
  return `the turbine, at ${formatNumber(Math.floor(reachedShare * 1000) / 10, 1)}${NO_BREAK_SPACE}% of the goal${chokedWords}`;
}
