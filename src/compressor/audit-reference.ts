import { sheetFlowFactor, sheetFlowKeys } from '../units/index.ts';
import type { AuditContext, AuditLine } from './audit-context.ts';
import { groupedNumber } from './audit-context.ts';
import { headOf } from './audit-lines.ts';
import type { FlowUnit, SheetPlace } from './types.ts';

/** Dry air: specific gas constant and isobaric heat capacity, J/(kg K); round values, for orders of magnitude only. */
const R = 287.05;
const CP = 1005;

/** Reference state of the sheet. @returns true when it is plausible, so that head and flow can be judged with it. */
export function auditReference(context: AuditContext): boolean {
  const { temperatureK, pressurePa } = context.sheet.reference;
  const place: SheetPlace = { part: 'reference' };
  if (!(temperatureK > 0 && pressurePa > 0 && Number.isFinite(temperatureK) && Number.isFinite(pressurePa))) {
    const message =
      'No reference state: corrected flow and speed mean nothing without the temperature and pressure they are corrected to. Both stand in the small print of the sheet.';
    context.report('error', 'no-reference', message, place);
    return false;
  }
  let plausible = true;
  if (temperatureK < 268 || temperatureK > 323) {
    plausible = false;
    const hint = temperatureK < 130 ? ' It may have been typed in the wrong unit (degrees as kelvin).' : '';
    const message = `The reference temperature ${context.words.temperature(temperatureK)} is unusual; sheets use ${context.words.temperatures(288, 303)}.${hint} Check it.`;
    context.report('warning', 'reference-temperature', message, place);
  }
  if (pressurePa < 80_000 || pressurePa > 110_000) {
    plausible = false;
    const message = `The reference pressure ${context.words.pressure(pressurePa)} is unusual; sheets use ${context.words.pressures(95_000, 102_000)}. Check the number and its unit.`;
    context.report('warning', 'reference-pressure', message, place);
  }
  return plausible;
}

/** Largest exit flow coefficient V / (D2² U2) that centrifugal stages reach at the choke end, and the smallest worth drawing. */
const COEFFICIENT_LOW = 0.008;
const COEFFICIENT_HIGH = 0.35;
const COEFFICIENT_USUAL = 0.07;
/** Isentropic head over U2² near the top of a line: Dixon & Hall ch. 7 give about 0.5 to 0.7 for work input times efficiency. */
const HEAD_COEFFICIENT = 0.55;

/** What the flow says about its unit. */
interface FlowUnitFit {
  /** Exit flow coefficient of the largest flow, were it in the sheet's unit. */
  coefficient: number;
  diameterM: number;
  flow: number;
  /** Other units with which it would be usual, best first; empty where none comes near. */
  fitting: readonly FlowUnit[];
}

/**
 * Head and speed give the wheel's size, size and tip speed give the order of the flow.
 * The units lie a factor of 14 and more apart (kg/s and m3/s excepted, which cannot be told apart this way).
 * @returns null where the lines do not give a head.
 */
function flowUnitFit(context: AuditContext): FlowUnitFit | null {
  const line = context.rising.at(-1);
  if (!line || context.rising.length < 2) return null;
  const { temperatureK, pressurePa } = context.sheet.reference;
  const head = CP * temperatureK * headOf(line);
  if (!(head > 0)) return null;
  const tipSpeed = Math.sqrt(head / HEAD_COEFFICIENT);
  const diameterM = (60 * tipSpeed) / (Math.PI * line.speedRpm);
  const flow = Math.max(...line.ordered.map((p) => p.flow));
  const density = pressurePa / (R * temperatureK);
  const coefficient = (unit: FlowUnit): number => {
    const volume = (flow * sheetFlowFactor(unit, { temperatureK, pressurePa })) / density;
    return volume / (diameterM * diameterM * tipSpeed);
  };
  const away = (unit: FlowUnit): number => Math.abs(Math.log(coefficient(unit) / COEFFICIENT_USUAL));
  const others = sheetFlowKeys.filter((u) => u !== context.sheet.flowUnit);
  const nearest = Math.min(...others.map(away));
  const fitting = nearest < 1.5 ? others.filter((u) => away(u) < nearest + 0.5) : [];
  return { coefficient: coefficient(context.sheet.flowUnit), diameterM, flow, fitting };
}

/** Units other than the sheet's own with which its flow would be usual for its speeds and pressure ratios; empty where none comes near. */
export function fittingFlowUnits(context: AuditContext): readonly FlowUnit[] {
  return flowUnitFit(context)?.fitting ?? [];
}

/** Whether the flow can be in the chosen unit. */
export function auditFlowUnit(context: AuditContext): void {
  const fit = flowUnitFit(context);
  const line = context.rising.at(-1);
  if (!fit || !line) return;
  const { coefficient, diameterM, flow } = fit;
  if (coefficient > COEFFICIENT_LOW && coefficient < COEFFICIENT_HIGH) return;
  const fitting = fit.fitting.map((u) => (u === 'm3/s' ? 'm³/s' : u));
  const instead = fitting.length > 0 ? ` As ${fitting.join(' or ')} it would fit.` : ' Check flow, unit and speeds.';
  const large = coefficient > COEFFICIENT_HIGH ? 'much' : 'little';
  const message = `${context.words.flow(flow)} is too ${large} flow for pressure ratio ${context.words.ratio(Math.max(...line.ordered.map((p) => p.ratio)))} at ${context.words.speed(line.speedRpm)}, which takes a wheel of about ${context.words.length(diameterM * 1000, 0)}.${instead}`;
  context.report('warning', 'flow-unit-doubtful', message, { part: 'reference' });
}

/** Rated speed against the lines, and the wheel against both. */
export function auditLimits(context: AuditContext, usable: { reference: boolean; speeds: boolean }): void {
  const limit = context.sheet.limits?.shaftSpeedRpm;
  // Speeds in another unit are said once; the limit and the wheel are not held against them.
  const top = usable.speeds ? context.rising.at(-1) : undefined;
  const place: SheetPlace = { part: 'limits' };
  const { words } = context;
  if (limit === undefined) {
    const message =
      'No maximum shaft speed: there is no speed margin without it. Enter the rated speed if the maker gives one.';
    context.report('note', 'no-limit', message, place);
  } else if (!(limit > 0) || !Number.isFinite(limit)) {
    const message = 'The maximum shaft speed is not a number above zero. Enter it in rpm, or leave it empty.';
    context.report('warning', 'limit-invalid', message, place);
  } else if (top && limit < 0.98 * top.speedRpm) {
    const message = `The maximum shaft speed ${words.speed(limit)} lies below the highest line ${words.speed(top.speedRpm)}. Check which of the two is meant.`;
    context.report('warning', 'limit-below-top', message, place);
  } else if (top && limit > 1.5 * top.speedRpm) {
    const message = `The maximum shaft speed ${words.speed(limit)} is more than one and a half times the highest line ${words.speed(top.speedRpm)}. Check both.`;
    context.report('warning', 'limit-high', message, place);
  }
  auditWheel(context, limit !== undefined && limit > 0 ? limit : top?.speedRpm, usable.reference ? top : undefined);
}

/** Tip speeds at rated speed: cast aluminium wheels run up to about 560 m/s, and none is rated below 250 (common practice, no source). */
const TIP_LOW = 250;
const TIP_HIGH = 600;

function auditWheel(context: AuditContext, ratedRpm: number | undefined, top: AuditLine | undefined): void {
  const { inducerMm, exducerMm } = context.sheet.wheel ?? {};
  const place: SheetPlace = { part: 'wheel' };
  const { words } = context;
  if (exducerMm === undefined) {
    const message = 'No exducer diameter: tip speed and trim cannot be given. Enter the wheel if you have measured it.';
    context.report('note', 'no-wheel', message, place);
    return;
  }
  for (const [name, value] of [
    ['exducer', exducerMm],
    ['inducer', inducerMm],
  ] as const) {
    if (value === undefined || (value > 0 && Number.isFinite(value))) continue;
    const message = `The ${name} diameter is not a number above zero. Enter it, or leave it empty.`;
    context.report('warning', 'wheel-invalid', message, place);
    return;
  }
  if (inducerMm !== undefined && inducerMm >= exducerMm) {
    const message = `The inducer ${words.length(inducerMm)} is not smaller than the exducer ${words.length(exducerMm)}. They may be swapped.`;
    context.report('warning', 'wheel-swapped', message, place);
    return;
  }
  if (ratedRpm === undefined) return;
  const tip = (Math.PI * exducerMm * ratedRpm) / 60_000;
  if (tip < TIP_LOW || tip > TIP_HIGH) {
    const message = `At ${words.speed(ratedRpm)} an exducer of ${words.length(exducerMm)} has a tip speed of ${words.tipSpeed(tip)}; ${words.tipSpeeds(TIP_LOW, TIP_HIGH)} is usual. Check the diameter, its unit and the speed.`;
    context.report('warning', 'tip-speed', message, place);
  } else if (top) headAgainstWheel(context, exducerMm, top);
}

function headAgainstWheel(context: AuditContext, exducerMm: number, top: AuditLine): void {
  const tip = (Math.PI * exducerMm * top.speedRpm) / 60_000;
  const coefficient = (CP * context.sheet.reference.temperatureK * headOf(top)) / (tip * tip);
  if (!(coefficient < 0.3 || coefficient > 0.95)) return;
  const message = `Pressure ratio ${context.words.ratio(Math.max(...top.ordered.map((p) => p.ratio)))} at ${context.words.speed(top.speedRpm)} does not go with an exducer of ${context.words.length(exducerMm)} (head coefficient ${groupedNumber(coefficient, 2)}; 0.4 to 0.8 is usual). Check the diameter and the speeds.`;
  context.report('warning', 'wheel-doubtful', message, { part: 'wheel' });
}
