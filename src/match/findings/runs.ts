import type { Finding, OperatingPoint } from '../types.ts';
import type { FindingCode, FindingValues, NoPointCode } from './codes.ts';

/** Neighbouring engine speeds over which the same thing holds. */
export interface Run<P extends OperatingPoint> {
  points: readonly P[];
  rangeRpm: readonly [number, number];
}

/**
 * Splits a line, sorted by engine speed, into runs for which `key` gives the same answer; where it gives null there is no run.
 */
export function runsOf<P extends OperatingPoint>(
  points: readonly OperatingPoint[],
  key: (point: OperatingPoint) => { key: string; point: P } | null,
): { key: string; run: Run<P> }[] {
  const runs: { key: string; points: P[] }[] = [];
  let open: { key: string; points: P[] } | null = null;
  for (const point of points) {
    const hit = key(point);
    if (hit === null) {
      open = null;
    } else if (open !== null && open.key === hit.key) {
      open.points.push(hit.point);
    } else {
      open = { key: hit.key, points: [hit.point] };
      runs.push(open);
    }
  }
  return runs.map(({ key, points: members }) => ({ key, run: { points: members, rangeRpm: rangeOf(members) } }));
}

function rangeOf(points: readonly OperatingPoint[]): readonly [number, number] {
  return [points[0]?.engineSpeedRpm ?? 0, points[points.length - 1]?.engineSpeedRpm ?? 0];
}

/** The member with the highest score. */
export function worstOf<P>(points: readonly P[], score: (point: P) => number): P {
  let worst = points[0] as P;
  for (const point of points) if (score(point) > score(worst)) worst = point;
  return worst;
}

/** A finding whose values are those that its code promises. */
export function finding<C extends FindingCode>(
  severity: Finding['severity'],
  code: C,
  values: C extends keyof FindingValues ? FindingValues[C] : Record<string, number>,
  place: { engineSpeedRpm?: number; rangeRpm?: readonly [number, number] } = {},
): Finding & { code: C } {
  // Values that are absent stay out, so that nobody prints 'undefined'.
  const known = Object.entries(values).filter((entry): entry is [string, number] => entry[1] !== undefined);
  return { severity, code, ...place, values: Object.fromEntries(known) };
}

export type { NoPointCode };
