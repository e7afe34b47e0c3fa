export { evaluateCurve, isOutsideCurve, MonotoneCurve, nearestIndex } from './interpolation.ts';
export {
  backSubstitute,
  factorCholesky,
  forwardSubstitute,
  logDeterminant,
  solveLinear,
  symmetricEigen,
} from './linear-algebra.ts';
export { codesOf, hashOf, type Memory, memory } from './remember.ts';
export { findRoot } from './root.ts';
export {
  normalProbability,
  normalQuantile,
  orderForQuantiles,
  SobolPoints,
  sampleQuantile,
} from './statistics.ts';
export type * from './types.ts';
