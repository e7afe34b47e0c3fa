import type { LikePoint } from '../driven-loop.ts';
import { type BoostPath, holds } from './boost-path.ts';
import { searchCeiling } from './ceiling-search.ts';
import { leastSlack } from './limit-slacks.ts';

/** Where a ceiling lies without any tolerance, and how its slack falls there: what a like path starts from. */
export interface CeilingStart {
  pressurePa: number;
  temperatureK: number;
  /** Left out: no turbine is known. */
  like?: LikePoint | undefined;
  /** Change of the least slack with pressure, 1/Pa, below 0. null: no slope is known, search anew each time. */
  slopePerPa: number | null;
}

const MOST_STEPS = 7;
/** Of slack, before the last step is taken: that leaves some ten pascals, far inside any band. */
const CLOSE = 5e-4;
/** A ceiling that has moved farther than this from its start is searched for anew. */
const FARTHEST = 0.2;

/**
 * The ceiling of a path that is like another whose ceiling is known: by secant steps from there, some ten pascals exact. Where they do not
 * settle on a falling slack, the whole range is searched.
 *
 * @param share of the start's pressure at which to begin
 * @returns Pa, or null where nothing holds
 */
export function followCeiling(
  path: BoostPath,
  start: CeilingStart | null,
  share: number,
  range: () => { lowPa: number; topPa: number },
  limitPa: number,
): number | null {
  const near = start?.slopePerPa == null ? null : stepped(path, start, start.slopePerPa, share, limitPa);
  if (near !== null) return near;
  const { lowPa, topPa } = range();
  if (limitPa < lowPa) return null;
  const search = searchCeiling((p) => path.quick(p), lowPa, Math.min(topPa, limitPa));
  return search.found ? search.holdsPa : null;
}

function stepped(
  path: BoostPath,
  start: CeilingStart,
  slopePerPa: number,
  share: number,
  limitPa: number,
): number | null {
  path.startFrom(start.pressurePa, start.temperatureK, start.like);
  let p = Math.min(limitPa, start.pressurePa * share);
  let slope = slopePerPa;
  let before: { p: number; slack: number } | null = null;
  for (let i = 0; i < MOST_STEPS; i++) {
    const sample = path.quick(p);
    if (sample.slacks === null) return null;
    if (p === limitPa && holds(sample)) return p;
    const slack = leastSlack(sample.slacks);
    if (before !== null && p !== before.p) slope = (slack - before.slack) / (p - before.p);
    if (!(slope < 0)) return null;
    if (Math.abs(slack) < CLOSE) return Math.min(limitPa, p - slack / slope);
    before = { p, slack };
    p = Math.min(limitPa, p - slack / slope);
    if (Math.abs(p / start.pressurePa - 1) > FARTHEST || p === before.p) return null;
  }
  return null;
}
