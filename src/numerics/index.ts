export { evaluateCurve, isOutsideCurve } from './curve.ts';
export { findRoot, type RootOptions } from './root.ts';
export type * from './types.ts';
