/** A point of a curve over engine speed. Curves are linear between their points and constant outside. */
export interface CurvePoint {
  engineSpeedRpm: number;
  value: number;
}

/** Points in rising engine speed; at least one. */
export type Curve = readonly CurvePoint[];

/** A root, or why there is none: never a sentinel number. */
export type Solved = { ok: true; value: number } | { ok: false; reason: 'no-bracket' | 'not-finite' | 'not-converged' };
