import { findRoot } from '../../numerics/index.ts';
import { solveOperatingLine } from '../operating-line.ts';
import type { MatchInput, OperatingPoint } from '../types.ts';
import { crossedLimit, limitSlack } from './crossed-limit.ts';
import type { HeldLimits } from './limit-slacks.ts';
import { inputAt, standardPlace } from './places.ts';
import { speedsUnderThreshold } from './threshold-crossings.ts';
import type { AltitudeCrossing, AltitudeRange } from './types.ts';

const STEP_M = 250;
const RESOLUTION_M = 0.5;

/** For each engine speed of the study the altitudes at which holding its goal begins and ceases to keep the limits. */
export function solveCrossings(study: MatchInput, held: HeldLimits, range: AltitudeRange): AltitudeCrossing[] {
  const lineAt = (altitudeM: number, engineSpeedsRpm: readonly number[]): OperatingPoint[] => {
    const made = standardPlace(altitudeM, range.rule);
    if (made.ok) return solveOperatingLine({ ...inputAt(study, made.place.ambient), engineSpeedsRpm });
    return engineSpeedsRpm.map((engineSpeedRpm) => ({ engineSpeedRpm, status: 'bad-input', message: made.message }));
  };
  const altitudes = grid(range.fromM, range.toM);
  const lines = altitudes.map((altitudeM) => lineAt(altitudeM, study.engineSpeedsRpm));
  return study.engineSpeedsRpm.map((rpm, k) => {
    const slacks = lines.map((line) => limitSlack(line[k]!, held));
    const pointAt = (altitudeM: number) => lineAt(altitudeM, [rpm])[0]!;
    const changes = signChanges(altitudes, slacks, (altitudeM) => limitSlack(pointAt(altitudeM), held));
    const limitAt = (altitudeM: number) => crossedLimit(pointAt(altitudeM), held);
    return crossing(rpm, altitudes, slacks, changes, limitAt);
  });
}

/**
 * The lowest of the crossings, or null where every engine speed holds. Engine speeds that the boost threshold passes say nothing about
 * how far up the goal can be held: they are passed over, unless there are no others.
 */
export function firstCrossing(crossings: readonly AltitudeCrossing[]): AltitudeCrossing | null {
  const under = speedsUnderThreshold(crossings);
  const asked = crossings.filter(({ engineSpeedRpm }) => !under.has(engineSpeedRpm));
  let first: AltitudeCrossing | null = null;
  for (const crossing of asked.length === 0 ? crossings : asked) {
    if (crossing.altitudeM === null) continue;
    if (first?.altitudeM == null || crossing.altitudeM < first.altitudeM) first = crossing;
  }
  return first;
}

function grid(fromM: number, toM: number): number[] {
  const steps = Math.max(1, Math.ceil((toM - fromM) / STEP_M));
  return Array.from({ length: steps + 1 }, (_, i) => fromM + ((toM - fromM) * i) / steps);
}

function signChanges(
  altitudes: readonly number[],
  slacks: readonly number[],
  slackAt: (altitudeM: number) => number,
): number[] {
  const changes: number[] = [];
  for (let i = 1; i < altitudes.length; i++) {
    if (slacks[i]! < 0 === slacks[i - 1]! < 0) continue;
    const root = findRoot(slackAt, altitudes[i - 1]!, altitudes[i]!, { xTolerance: RESOLUTION_M });
    changes.push(root.ok ? root.value : altitudes[i]!);
  }
  return changes;
}

function crossing(
  engineSpeedRpm: number,
  altitudes: readonly number[],
  slacks: readonly number[],
  changes: readonly number[],
  limitAt: (altitudeM: number) => AltitudeCrossing['limit'],
): AltitudeCrossing {
  const [from, to] = [altitudes[0]!, altitudes[altitudes.length - 1]!];
  const holdsFirst = slacks[0]! >= 0;
  const ends = [from, ...changes, to];
  const holdsBetweenM: (readonly [number, number])[] = [];
  for (let i = holdsFirst ? 0 : 1; i + 1 < ends.length; i += 2) holdsBetweenM.push([ends[i]!, ends[i + 1]!]);
  const base = { engineSpeedRpm, holdsBetweenM };
  if (!holdsFirst) return { ...base, status: 'from-lowest', altitudeM: from, limit: limitAt(from) };
  const altitudeM = changes[0];
  if (altitudeM === undefined) return { ...base, status: 'holds', altitudeM: null, limit: null };
  // A little higher, where it is surely crossed: the root itself lies within half a metre on either side.
  return { ...base, status: 'crossed', altitudeM, limit: limitAt(Math.min(to, altitudeM + 4 * RESOLUTION_M)) };
}
