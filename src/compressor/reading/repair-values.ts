import { auditContext, groupedNumber, settleContext } from '../audit-context.ts';
import { findStrayPoints } from '../audit-points.ts';
import { fittingFlowUnits } from '../audit-reference.ts';
import type { AuditFinding, FlowUnit, MapSheet } from '../types.ts';
import type { ProposedRepair } from './quality-types.ts';
import { isGone, isKindGone } from './repair-check.ts';

const tidy = (value: number): number => Number(value.toPrecision(12));
const isPercent = (value: number | undefined): value is number => value !== undefined && value > 1.5 && value <= 100;

/** 74 to 0.74, at points and islands alike; what is a fraction already stays. */
export function repairPercent(_: AuditFinding, sheet: MapSheet): ProposedRepair {
  const share = (value: number) => (isPercent(value) ? tidy(value / 100) : value);
  const count =
    sheet.speedLines.flatMap((line) => line.points).filter((p) => isPercent(p.efficiency)).length +
    (sheet.islands ?? []).filter((island) => isPercent(island.efficiency)).length;
  return {
    description: `Divide ${count === 1 ? 'the efficiency' : `the ${count} efficiencies`} by 100: ${count === 1 ? 'it is' : 'they are'} in percent.`,
    apply: (s) => ({
      ...s,
      speedLines: s.speedLines.map((line) => ({
        ...line,
        points: line.points.map((p) => (isPercent(p.efficiency) ? { ...p, efficiency: share(p.efficiency) } : p)),
      })),
      ...(s.islands ? { islands: s.islands.map((i) => ({ ...i, efficiency: share(i.efficiency) })) } : {}),
    }),
  };
}

const WORDS: Readonly<Record<FlowUnit, string>> = { 'kg/s': 'kg/s', 'lb/min': 'lb/min', 'm3/s': 'm³/s', cfm: 'cfm' };

/** The one unit with which the flow goes with the speeds and pressure ratios; kg/s and m³/s cannot be told apart by size. */
export function repairFlowUnit(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const context = auditContext(sheet);
  settleContext(context, findStrayPoints(context));
  const fitting = fittingFlowUnits(context).filter((u) => isKindGone(finding, { ...sheet, flowUnit: u }));
  const [unit, other] = fitting;
  const metric = fitting.length === 2 && unit === 'kg/s' && other === 'm3/s';
  if (unit === undefined || (fitting.length > 1 && !metric)) return null;
  const also = metric ? ' (m³/s would fit as well: look at the sheet)' : '';
  return {
    description: `Set the flow unit to ${WORDS[unit]}${also}; the numbers stay as they are.`,
    apply: (s) => ({ ...s, flowUnit: unit }),
  };
}

/** The second of two like points is deleted; an efficiency that only it has goes to the first. */
export function repairPointTwice(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const { place } = finding;
  if (place?.part !== 'speed-line' || place.point === undefined) return null;
  const { line: at, point } = place;
  const second = sheet.speedLines[at]?.points[point];
  if (!second) return null;
  const same = (p: { flow: number; pressureRatio: number }) =>
    p.flow === second.flow && p.pressureRatio === second.pressureRatio;
  const first = sheet.speedLines[at]!.points.findIndex(same);
  if (first === point || first < 0) return null;
  const kept = sheet.speedLines[at]!.points[first]!;
  // Two efficiencies at one place contradict each other: which one is right only the sheet can say.
  if (kept.efficiency !== undefined && second.efficiency !== undefined && kept.efficiency !== second.efficiency)
    return null;
  return {
    description: 'Delete the second of the two points.',
    apply: (s) => ({
      ...s,
      speedLines: s.speedLines.map((line, i) => {
        if (i !== at) return line;
        const points = line.points.map((p, k) =>
          k === first && p.efficiency === undefined && second.efficiency !== undefined
            ? { ...p, efficiency: second.efficiency }
            : p,
        );
        return { ...line, points: points.toSpliced(point, 1) };
      }),
    }),
  };
}

/** Points of every line put in order from surge to choke. */
export function repairOrder(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const apply = (s: MapSheet): MapSheet => {
    const context = auditContext(s);
    return {
      ...s,
      speedLines: s.speedLines.map((line, i) => {
        const order = context.lines[i]!.ordered.map((p) => p.index);
        const rest = line.points.filter((_, k) => !order.includes(k));
        return { ...line, points: [...order.map((k) => line.points[k]!), ...rest] };
      }),
    };
  };
  return isGone(finding, apply(sheet))
    ? { description: 'Sort the points of every line from surge to choke.', apply }
    : null;
}

/** The surge line's points put in rising pressure ratio, where that is all that is wrong. */
export function repairSurgeOrder(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const apply = (s: MapSheet): MapSheet =>
    s.surgeLine ? { ...s, surgeLine: [...s.surgeLine].sort((a, b) => a.pressureRatio - b.pressureRatio) } : s;
  return isKindGone(finding, apply(sheet))
    ? { description: 'Sort the points of the surge line by rising pressure ratio.', apply }
    : null;
}

/** Degrees Celsius or Fahrenheit typed as kelvin. */
export function repairReferenceTemperature(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const typed = sheet.reference.temperatureK;
  for (const [unit, kelvin] of [
    ['°C', typed + 273.15],
    ['°F', (typed + 459.67) / 1.8],
  ] as const) {
    const apply = (s: MapSheet): MapSheet => ({ ...s, reference: { ...s.reference, temperatureK: tidy(kelvin) } });
    if (!isKindGone(finding, apply(sheet))) continue;
    return {
      description: `Read the reference temperature as ${groupedNumber(typed, 1)} ${unit}: ${groupedNumber(kelvin, 2)} K.`,
      apply,
    };
  }
  return null;
}

/** Pascals in each unit that a reference pressure is printed in. */
const PRESSURES: readonly (readonly [string, number])[] = [
  ['kPa', 1000],
  ['mbar', 100],
  ['bar', 1e5],
  ['inHg', 3386.389],
  ['psi', 6894.757],
  ['mmHg', 133.3224],
  ['Pa, a thousand times too large', 0.001],
];

/** A reference pressure typed in another unit than the one chosen, where only one unit makes it a barometer reading. */
export function repairReferencePressure(_: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const typed = sheet.reference.pressurePa;
  const fitting = PRESSURES.filter(([, factor]) => typed * factor > 93_000 && typed * factor < 105_000);
  const [only] = fitting;
  if (!only || fitting.length > 1) return null;
  const pressurePa = tidy(typed * only[1]);
  return {
    description: `Read the reference pressure as ${groupedNumber(typed, typed < 100 ? 2 : 0)} ${only[0]}: ${groupedNumber(pressurePa / 1000, 3)} kPa.`,
    apply: (s) => ({ ...s, reference: { ...s.reference, pressurePa } }),
  };
}

export function repairWheel(_: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const { inducerMm, exducerMm } = sheet.wheel ?? {};
  if (inducerMm === undefined || exducerMm === undefined || inducerMm === exducerMm) return null;
  return {
    description: 'Swap inducer and exducer.',
    apply: (s) => ({ ...s, wheel: { inducerMm: s.wheel?.exducerMm, exducerMm: s.wheel?.inducerMm } }),
  };
}
