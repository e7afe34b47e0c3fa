import { type HeldGoal, isShortOfGoal, type OperatingPoint } from '../../../match/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';

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
  return isTurbineLimited(point) ? null : point.manifoldPressurePa;
}
