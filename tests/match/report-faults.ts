import type { OperatingPoint } from '../../src/match/index.ts';
import { numbersOf } from './numbers-of.ts';

/** What is wrong with how a point is reported, whatever its numbers mean: one that is not finite, a reason or a sentence that is none. */
export function reportFaults(point: OperatingPoint, reasons: readonly string[]): string[] {
  // The engine speed is given back as it was entered, whatever it was.
  const { engineSpeedRpm: _entered, ...results } = point;
  const faults = numbersOf(results)
    .filter(([, value]) => !Number.isFinite(value))
    .map(([path, value]) => `${path} is ${value}`);
  if (point.status === 'ok') return faults;
  if (!reasons.includes(point.status)) faults.push(`unknown reason ${point.status}`);
  if (!/^[A-Z].*\.$/.test(point.message) || point.message.includes('. '))
    faults.push(`not one plain sentence: ${point.message}`);
  return faults;
}

/** Every reason that a line without a turbine may name. */
export const REASONS = [
  'left-of-map',
  'right-of-map',
  'above-map',
  'no-compression',
  'inlet-exhausted',
  'unreachable-goal',
  'no-efficiency',
  'bad-input',
  'not-converged',
] as const;
