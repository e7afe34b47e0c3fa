export { backSubstitute, factorCholesky, forwardSubstitute, logDeterminant } from './cholesky.ts';
export { evaluateCurve, isOutsideCurve } from './curve.ts';
export { MonotoneCurve } from './monotone-curve.ts';
export { normalProbability } from './normal-probability.ts';
export { normalQuantile } from './normal-quantile.ts';
export { findRoot, type RootOptions } from './root.ts';
export { sampleQuantile } from './sample-quantile.ts';
export { MOST_SOBOL_DIMENSIONS, SobolPoints } from './sobol.ts';
export type * from './types.ts';
