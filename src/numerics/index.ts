export { backSubstitute, factorCholesky, forwardSubstitute, logDeterminant } from './cholesky.ts';
export { evaluateCurve, isOutsideCurve } from './curve.ts';
export { MonotoneCurve } from './monotone-curve.ts';
export { findRoot, type RootOptions } from './root.ts';
export type * from './types.ts';
