/**
 * The headless door: plain data in, plain data out, all SI; runs in Node and in a worker without a DOM.
 *
 * - `solveOperatingLine(input)`: a point or a named reason for every engine speed.
 * - `findings(points, input)`: what there is to say about the line, worst first, as typed facts.
 */

export type { FindingCode, FindingValues, NoPointCode } from './findings/codes.ts';
export { findings } from './findings/index.ts';
export { solveOperatingLine } from './operating-line.ts';
export { shaftSpeedLimit } from './solved-point.ts';
export type * from './types.ts';
