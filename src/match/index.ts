/**
 * The headless door: plain data in, plain data out, all SI; runs in Node and in a worker without a DOM.
 *
 * - `solveOperatingLine(input)`: a point or a named reason for every engine speed.
 * - `lineParts(points, input)`: which part of the line the goal, the turbine or a limit holds.
 * - `findings(points, input)`: what there is to say about the line, worst first, as typed facts.
 * - `compareCandidates(a, b)`: the differences that matter, each better, worse or none; `checkClaim` holds a claimed gain against them.
 * - `solveCeilings(input, places)`: for every place and engine speed the highest boost at which every limit holds, and what binds;
 *   `standardPlace(altitude, rule)` makes places, `joinCeilings` joins parts that were solved apart.
 * - `holdGoal(input, { places, altitude })`: the goal held over places, and the altitude at which it first crosses a limit;
 *   `compareControllers`: the same target held as gauge and as absolute pressure.
 * - `calibrationTable(ceilings, heldGoal, options, heldFrom)`: allowed boost rounded down, with what the shaft-speed sensor should read.
 * - `controlTable(input, options)`: boost targets at a control unit's own breakpoints, never over a ceiling in the cells nor in the middle
 *   between them, and the table that is there already held against the same ceilings.
 * - `solveSpread(input, tolerances)`: the bands that input tolerances give, the chance that a limit is crossed, and which input matters
 *   most; `startSpread` does it in steps, over several threads if wanted.
 * - `readRoadLog(input, log, options)`: what a log of the car says: its pulls, every row on the map with its band, lag, blade count,
 *   limits, the volumetric efficiency that the car has; `takeVolumetricEfficiency` makes it a curve to enter, `driftBetween` compares two logs.
 * - `knownVolumetricEfficiency(input, run, tolerances)`: the same from a dynamometer run or an air-mass sensor, row by row with bands.
 *
 * What the line leaves out: the effect of humidity on the map's similarity beyond gas constant and temperature; heat that port-injected
 * fuel takes from the charge when it evaporates; water that condenses in the cooler (a finding says where it would). Without a turbine:
 * whether the exhaust drives it, and what back-pressure does to the engine. With one: pulses (the turbine is in steady flow, twin scrolls
 * added up), heat through housings and bearing, the boost over the goal of a turbine without a gate, the
 * scavenging of a two-stroke (its flow is corrected as that of a four-stroke), and bsfc, which does not change with back-pressure.
 */

export { BINDING_KINDS, bindingKind, bindingLook } from './bindings.ts';
export { checkClaim } from './compare/check-claim.ts';
export { COMPARISON_KEYS, compareCandidates } from './compare/compare-candidates.ts';
export * from './figures.ts';
export { type BoostThreshold, boostThreshold, isShortOfGoal } from './findings/boost-threshold.ts';
export type { FindingCode } from './findings/finding.ts';
export { findings, judging } from './findings/index.ts';
export { lineParts } from './held-limits.ts';
export { LIMIT_KEYS, LIMITS, limitOn } from './limits.ts';
export * from './line-results.ts';
export { CHANNEL_KEYS } from './log/channels.ts';
export { demoLog } from './log/demo-log.ts';
export { knownVolumetricEfficiency, takeVolumetricEfficiency } from './log/known-ve.ts';
export { driftBetween } from './log/log-drift.ts';
export { fillBetween, findPegged, findSpikes, findUpdates, type Updates } from './log/log-frame.ts';
export { readRoadLog } from './log/read-road-log.ts';
export { shaftSpeedLimit, solveOperatingLine } from './operating-line.ts';
export * from './results.ts';
export { joinCeilings, lowestHeldPressure, lowestWithGateOpen, solveCeilings } from './studies/ceilings.ts';
export { absoluteToTable, controlTable } from './studies/control-table.ts';
export {
  calibrationTable,
  compareControllers,
  type HeldFrom,
  holdGoal,
  speedsUnderThreshold,
} from './studies/held-goal.ts';
export { deviationFromStandard, inputAt, ownPlace, standardPlace } from './studies/places.ts';
export { TURBINE_TOLERANCES, USUAL_TOLERANCES } from './studies/samples.ts';
export { rankSpool, type Spool, type SpoolTime, solveSpool } from './studies/spool.ts';
export { type SolvedSamples, solveSpread, startSpread } from './studies/spread.ts';
export type * from './types.ts';
