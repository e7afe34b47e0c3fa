import { type HeldGoal, isShortOfGoal, type OperatingPoint, type Place } from '../../../match/index.ts';
import { nearestIndex } from '../../../numerics/index.ts';
import { type CandidateStudy, useActions, useLugline } from '../../../store/index.ts';

/** What is pointed at, snapped to what was computed. */
export interface Pointed {
  engineSpeedRpm: number | null;
  altitudeM: number | null;
}

/** The place nearest to an altitude; grid rows stand before saved places and win a tie. */
export function nearestPlace(places: readonly Place[], altitudeM: number): number {
  return nearestIndex(
    places.map((place) => place.altitudeM),
    altitudeM,
  );
}

/** The altitude that is read where an engine speed is pointed at and no altitude yet: the highest, as in the read-out. */
export function readAltitudeM(places: readonly Place[], { engineSpeedRpm, altitudeM }: Pointed): number | null {
  if (altitudeM !== null || engineSpeedRpm === null) return altitudeM;
  return places.at(-1)?.altitudeM ?? null;
}

/** Whether the study knows a turbine: without one, nothing of it is shown. */
export function isDriven({ held }: Pick<CandidateStudy, 'held'>): boolean {
  return held.cells.some((row) => row.some(({ point }) => point.status === 'ok' && point.turbine !== null));
}

export function isAnyDriven(candidates: readonly (CandidateStudy | null)[]): boolean {
  return candidates.some((study) => study !== null && isDriven(study));
}

/** The gate is shut and the goal is not reached, by more than a gauge shows: the point is what the exhaust drives. */
export function isTurbineLimited(point: OperatingPoint): boolean {
  return point.status === 'ok' && isShortOfGoal(point);
}

/**
 * Manifold pressure that the goal asks for, absolute. Where it is not reached this is more than that of the point; for a power that is not
 * reached it is not known. null: no point, or not known.
 */
export function goalPressurePa(goal: HeldGoal['goal'], point: OperatingPoint): number | null {
  if (point.status !== 'ok') return null;
  const isPressure = goal.kind === 'gauge-boost' || goal.kind === 'manifold-pressure';
  if (isPressure) return point.manifoldPressurePa / (point.turbine?.reachedShare ?? 1);
  return isTurbineLimited(point) || point.turbine?.heldBy === 'gate' ? null : point.manifoldPressurePa;
}

/** More choices than this crowd the row. */
const MOST = 9;
const STEPS = [250, 500, 1000, 2000, 5000];

/** Engine speeds to choose from: those of the study at round steps, and the highest. */
export function roundSpeeds(speeds: readonly number[]): number[] {
  const first = speeds[0] ?? 0;
  const last = speeds.at(-1) ?? 0;
  const step = STEPS.find((candidate) => (last - first) / candidate < MOST) ?? 5000;
  const round = speeds.filter((rpm) => Math.abs(rpm / step - Math.round(rpm / step)) < 1e-9);
  return [...new Set([...round, ...(speeds.length > 0 ? [last] : [])])];
}

/** One in the middle and the highest: where shafts are slow to follow, and where they turn fastest. */
export function usualSpeeds(speeds: readonly number[]): number[] {
  const offered = roundSpeeds(speeds);
  const last = offered.at(-1);
  const middle = offered[Math.floor((offered.length - 1) / 2)];
  return [...new Set([middle, last].filter((rpm) => rpm !== undefined))];
}

/** What every chart, the table and the map point at together. It stays where it was last put: a leaving pointer takes nothing away. */
export function usePointed(): [Pointed, (pointed: Partial<Pointed>) => void] {
  const engineSpeedRpm = useLugline((state) => state.ui.pointerEngineSpeedRpm);
  const altitudeM = useLugline((state) => state.ui.pointerAltitudeM);
  const { setUi } = useActions();
  const point = (pointed: Partial<Pointed>) =>
    setUi({
      ...(pointed.engineSpeedRpm !== undefined && { pointerEngineSpeedRpm: pointed.engineSpeedRpm }),
      ...(pointed.altitudeM !== undefined && { pointerAltitudeM: pointed.altitudeM }),
    });
  return [{ engineSpeedRpm, altitudeM }, point];
}
