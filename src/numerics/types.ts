/** A point of a curve over engine speed. Curves are linear between their points and constant outside. */
export interface CurvePoint {
  engineSpeedRpm: number;
  value: number;
}

/** Points in rising engine speed; at least one. */
export type Curve = readonly CurvePoint[];

/** What a solver gives back when it has no root: never a sentinel number. */
interface SolveFailure {
  reason: 'no-bracket' | 'not-finite' | 'not-converged';
  iterations: number;
  /** Last abscissa tried. */
  at: number;
  /** Residual there. */
  residual: number;
}

export type Solved = { ok: true; value: number; iterations: number } | { ok: false; failure: SolveFailure };
