import { findRoot } from '../../numerics/index.ts';
import type { LikePoint } from '../driven-loop.ts';
import { leastSlack, type Slacks } from '../held-limits.ts';
import { LIMIT_KEYS } from '../limits.ts';
import { type BoostPath, holds, type PathSample } from './boost-path.ts';

type Sampler = (pressurePa: number) => PathSample;

export type CeilingSearch =
  /** `above`: the lowest pressure known not to hold; null: the top of the search itself holds. */
  | { found: true; holdsPa: number; above: PathSample | null }
  /** `nearest`: the sample nearest to holding; without slacks where none had a point. */
  | { found: false; nearest: PathSample };

/** Even steps in which a range is looked through. */
export const SCAN_STEPS = 14;
/** Shares of the range from its top at which it is tried: even steps, then closer to where the compressor does next to nothing. */
const SCAN: readonly number[] = [
  ...Array.from({ length: SCAN_STEPS - 1 }, (_, i) => (i + 1) / SCAN_STEPS),
  0.97,
  0.99,
  0.997,
  0.9995,
];
/** Pa between what holds and what does not: a hundredth of what is asked for. */
const RESOLUTION_PA = 1;
const DEEPEST = 5;

/**
 * The highest pressure of a range at which every limit holds. Looked for from the top, because a limit may bind from both sides (a low
 * boost may lie left of surge where a higher one does not); between two steps that do not hold, a range that does is looked for where
 * different limits fail at its two ends.
 */
export function searchCeiling(sample: Sampler, lowPa: number, top: PathSample): CeilingSearch {
  const topPa = top.pressurePa;
  let above = top;
  if (holds(above)) return { found: true, holdsPa: topPa, above: null };
  let nearest = above;
  let second: PathSample | null = null;
  for (const share of SCAN) {
    const here = sample(topPa + (lowPa - topPa) * share);
    if (holds(here)) return refined(sample, here, above);
    const inside = between(sample, here, above, DEEPEST) ?? hump(sample, here, above, second);
    if (inside !== null) return refined(sample, inside.holding, inside.above);
    if (closeness(here) > closeness(nearest)) nearest = here;
    second = above;
    above = here;
  }
  return { found: false, nearest };
}

/** What `lowestHolding` is exact to. */
const LOW_RESOLUTION_PA = 50;

/** From a pressure that holds downwards: the lowest at which every limit still holds without a break. Errs upwards, to 50 Pa. */
export function lowestHolding(sample: Sampler, holdsPa: number, lowPa: number, stepPa: number): number {
  let high = holdsPa;
  let low = sample(Math.max(lowPa, high - stepPa));
  while (low.pressurePa < high && holds(low)) {
    high = low.pressurePa;
    low = sample(Math.max(lowPa, high - stepPa));
  }
  const tried = (pressurePa: number): number => {
    const here = sample(pressurePa);
    if (holds(here)) high = Math.min(high, pressurePa);
    else if (pressurePa > low.pressurePa) low = here;
    return here.slacks === null ? Number.NaN : leastSlack(here.slacks);
  };
  const wide = () => high - low.pressurePa > LOW_RESOLUTION_PA;
  while (wide() && low.slacks === null) tried((low.pressurePa + high) / 2);
  if (wide()) findRoot(tried, low.pressurePa, high, { xTolerance: LOW_RESOLUTION_PA });
  while (wide()) tried((low.pressurePa + high) / 2);
  return high;
}

function closeness(sample: PathSample): number {
  return sample.slacks === null ? Number.NEGATIVE_INFINITY : leastSlack(sample.slacks);
}

interface Inside {
  holding: PathSample;
  above: PathSample;
}

/** Looks for a pressure that holds between two that do not. Limits that fail at both ends are taken to fail all the way. */
function between(sample: Sampler, low: PathSample, high: PathSample, depth: number): Inside | null {
  if (depth === 0 || high.pressurePa - low.pressurePa < RESOLUTION_PA) return null;
  const tried = promising(low, high);
  if (tried === null) return null;
  const middle = sample(tried);
  if (holds(middle)) return { holding: middle, above: high };
  return between(sample, middle, high, depth - 1) ?? between(sample, low, middle, depth - 1);
}

/** Where between two samples every limit may hold, or null where that cannot be. */
function promising(low: PathSample, high: PathSample): number | null {
  const half = (low.pressurePa + high.pressurePa) / 2;
  if (low.slacks === null) return high.slacks === null || fails(high.slacks, 'choke-margin') ? null : half;
  // Speed, temperature, pressure and power rise with boost: past the map they fail all the more.
  if (high.slacks === null) return onlySides(low.slacks) ? half : null;
  let from = 0;
  let to = 1;
  for (const [i, atLow] of low.slacks.entries()) {
    const atHigh = high.slacks[i]!;
    if (atLow < 0 && atHigh < 0) return null;
    if (atLow >= 0 && atHigh >= 0) continue;
    const crossing = atLow / (atLow - atHigh);
    if (atLow < 0) from = Math.max(from, crossing);
    else to = Math.min(to, crossing);
  }
  const share = Math.min(0.95, Math.max(0.05, (from + to) / 2));
  return low.pressurePa + share * (high.pressurePa - low.pressurePa);
}

function fails(slacks: Slacks, key: (typeof LIMIT_KEYS)[number]): boolean {
  return slacks[LIMIT_KEYS.indexOf(key)]! < 0;
}

/** Limits that more boost may relieve. */
const SIDES: ReadonlySet<string> = new Set<(typeof LIMIT_KEYS)[number]>(['surge-margin', 'choke-margin', 'gate']);

function onlySides(slacks: Slacks): boolean {
  return slacks.every((slack, i) => slack >= 0 || SIDES.has(LIMIT_KEYS[i]!));
}

/** Of three samples that do not hold the middle one may be so near that the top of the parabola through them does. */
function hump(sample: Sampler, low: PathSample, middle: PathSample, high: PathSample | null): Inside | null {
  if (high === null || low.slacks === null || middle.slacks === null || high.slacks === null) return null;
  const [a, b, c] = [leastSlack(low.slacks), leastSlack(middle.slacks), leastSlack(high.slacks)];
  if (!(b > a && b > c && b > -0.03)) return null;
  const width = middle.pressurePa - low.pressurePa;
  const tried = sample(middle.pressurePa + (0.5 * width * (c - a)) / (2 * b - a - c));
  if (holds(tried)) return { holding: tried, above: tried.pressurePa > middle.pressurePa ? high : middle };
  return null;
}

/** Narrows what holds and what does not to a pascal. */
function refined(sample: Sampler, holding: PathSample, failing: PathSample): CeilingSearch {
  let low = holding;
  let high = failing;
  const narrow = (pressurePa: number) => {
    const tried = sample(pressurePa);
    if (pressurePa >= high.pressurePa || pressurePa <= low.pressurePa) return tried;
    if (holds(tried)) low = tried;
    else high = tried;
    return tried;
  };
  const halve = () => narrow((low.pressurePa + high.pressurePa) / 2);
  const wide = () => high.pressurePa - low.pressurePa > RESOLUTION_PA;
  while (wide() && high.slacks === null) halve();
  if (wide()) {
    const known = new Map([low, high].map((end) => [end.pressurePa, end]));
    const slack = (pressurePa: number) => {
      const { slacks } = known.get(pressurePa) ?? narrow(pressurePa);
      return slacks === null ? Number.NaN : leastSlack(slacks);
    };
    findRoot(slack, low.pressurePa, high.pressurePa, { xTolerance: RESOLUTION_PA });
  }
  while (wide()) halve();
  return { found: true, holdsPa: low.pressurePa, above: high };
}

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
/** Of the pressure: a longer last step is looked at, because at a kink the slope says little of the way that is left. */
const SHORTEST = 3e-4;
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
  const search = searchCeiling((p) => path.quick(p), lowPa, path.quick(Math.min(topPa, limitPa)));
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
    const next = Math.min(limitPa, p - slack / slope);
    if (Math.abs(slack) < CLOSE && Math.abs(next / p - 1) < SHORTEST) return next;
    before = { p, slack };
    p = next;
    if (Math.abs(p / start.pressurePa - 1) > FARTHEST || p === before.p) return null;
  }
  return null;
}
