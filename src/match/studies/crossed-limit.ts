import type { OperatingPoint } from '../types.ts';
import { type HeldLimits, leastSlack, pointSlacks, tightestLimit } from './limit-slacks.ts';
import type { BindingLimit } from './types.ts';

/** A goal set exactly at a limit must not be told off for the last digit. */
const ROUNDING = 1e-9;

/** The limit that a point crosses, or why there is no point. An engine that needs no compressor crosses nothing. */
export function crossedLimit(point: OperatingPoint, held: HeldLimits): BindingLimit | null {
  if (point.status === 'no-compression') return null;
  if (point.status !== 'ok') return point.status;
  const slacks = pointSlacks(point, held);
  return leastSlack(slacks) < -ROUNDING ? tightestLimit(slacks) : null;
}

/** How far a point is from the nearest limit, as a share; below 0 it is crossed, -1 where there is no point. */
export function limitSlack(point: OperatingPoint, held: HeldLimits): number {
  if (point.status === 'no-compression') return 1;
  return point.status === 'ok' ? Math.min(1, leastSlack(pointSlacks(point, held)) + ROUNDING) : -1;
}
