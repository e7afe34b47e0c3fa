import type {
  BarometerKind,
  Build,
  Candidate,
  CandidateTurbine,
  DayAirReading,
  TypedCurve,
} from '../../../build/index.ts';
import { fuelName } from '../../../engine/index.ts';
import type { OperatingPoint } from '../../../match/index.ts';
import { type ResultUnits, showResult } from '../../../match/index.ts';
import {
  findUnit,
  formatNumber,
  formatQuantity,
  joined,
  NO_BREAK_SPACE,
  NO_NUMBER,
  parseQuantity,
  type QuantityKey,
  typedText,
} from '../../../units/index.ts';

/*
 * One line a group of inputs, shown in its heading, so that a folded group still says what it holds. As typed, not converted:
 * the reader recognises his own numbers.
 */

const GOALS: Readonly<Record<Build['goal']['kind'], { name: string; quantity: QuantityKey }>> = {
  'gauge-boost': { name: 'boost', quantity: 'pressure-gauge' },
  'manifold-pressure': { name: 'manifold', quantity: 'pressure-absolute' },
  'brake-power': { name: 'at the crankshaft', quantity: 'power' },
  'wheel-power': { name: 'at the wheels', quantity: 'power' },
};

export function airSummary({ air }: Build): string {
  return joined([typedText(air.altitude, 'altitude'), typedText(air.temperature, 'temperature')]);
}

export function goalSummary({ goal }: Build): string {
  const { name, quantity } = GOALS[goal.kind];
  return `${highest(goal.curves[goal.kind], quantity)} ${name}`;
}

export function engineSummary({ engine, units }: Build): string {
  return joined([typedText(engine.displacement, 'displacement'), fuelName(engine.fuel, units?.system ?? 'metric')]);
}

export function fuelSupplySummary({ fuelSupply }: Build): string {
  return fuelSupply.checked ? 'checked' : 'not checked';
}

export function inletSummary({ inletPath }: Build): string {
  return typedText(inletPath.loss, 'pressure-difference');
}

export function chargePathSummary({ chargePath }: Build): string {
  const { kind, effectiveness } = chargePath.cooler;
  if (kind === 'none') return 'no cooler';
  return joined([kind === 'air' ? 'air' : 'water', typedText(effectiveness, 'fraction')]);
}

export function exhaustSummary({ exhaust }: Build): string {
  const { kind, curve } = exhaust.inletTemperature;
  const loss = typedText(exhaust.loss, 'pressure-difference');
  return joined([loss, kind === 'estimated' ? 'temp. estimated' : highest(curve, 'temperature', '')]);
}

export function limitsSummary({ limits }: Build): string {
  const reserve = typedText(limits.shaftSpeedReserve, 'fraction');
  return reserve === '' ? 'no speed reserve' : `${reserve} speed reserve`;
}

export function engineSpeedsSummary({ engineSpeeds }: Build): string {
  return `${engineSpeeds.from.text || '?'} to ${typedText(engineSpeeds.to, 'engine-speed') || '?'}`;
}

/** 'up to 1.4 bar': the largest value of a curve that reads as a number, as it was typed. */
function highest(curve: TypedCurve, quantity: QuantityKey, none = 'no goal'): string {
  let best: { text: string; value: number } | null = null;
  for (const { value: text } of curve.rows) {
    const read = parseQuantity(text, quantity, curve.unit);
    if (read.ok && (best === null || read.value > best.value)) best = { text, value: read.value };
  }
  return best === null ? none : typedText({ text: best.text, unit: curve.unit }, quantity);
}

export function notesSummary({ notes }: Build): string {
  return notes.trim().split('\n')[0] ?? '';
}

/** What the air inputs come to, in words and figures: pressure in the barometer's own unit, so that it can be compared with it. */
export function airReadings(
  { air }: DayAirReading,
  pressureUnit: string,
  kind: BarometerKind,
  units: ResultUnits,
): readonly { title: string; value: string }[] {
  const unit = findUnit('pressure-absolute', pressureUnit)?.key ?? 'hPa';
  const title = kind === 'weather-report' ? 'Pressure here, from the report' : 'Pressure here';
  return [
    { title, value: air === null ? NO_NUMBER : formatQuantity(air.ambient.pressurePa, 'pressure-absolute', unit) },
    {
      title: 'Air density',
      value: air === null ? NO_NUMBER : showResult(air.densityKgPerM3, 'density', units),
    },
    {
      title: 'Water vapour, by volume',
      value: air === null ? NO_NUMBER : `${formatNumber(air.ambient.vapourMoleFraction * 100, 2)}\u00a0%`,
    },
  ];
}

const UNTOLD = 'threshold and back-pressure cannot be told';

/** What is known of the turbine of a candidate, to be read on after 'Turbine'. */
export function turbineKnown(
  { turbineSheet }: Pick<Candidate, 'turbineSheet'>,
  { from, capacity, input }: Pick<CandidateTurbine, 'from' | 'capacity' | 'input'>,
): string {
  const asYet = input === null ? ' not complete yet' : '';
  switch (from) {
    case 'none':
      return `not known: ${UNTOLD}`;
    case 'sheet':
      if (turbineSheet === null) return `sheet not chosen yet: ${UNTOLD}`;
      return `sheet “${turbineSheet.name.trim() || 'without a name'}”${asYet && `,${asYet}`}`;
    case 'measured':
      if (capacity === null) return 'to be estimated: measurements are missing';
      return `estimated, ±${formatNumber(capacity.band * 100, 0)}${NO_BREAK_SPACE}%${asYet && `,${asYet}`}`;
  }
}

/** What the estimate of the turbine inlet temperature gives along a line, lowest to highest; only what it rests on where no turbine is known. */
export function inletTemperatureWords(points: readonly OperatingPoint[], units: ResultUnits): string {
  const found = points.flatMap((point) =>
    point.status === 'ok' && point.turbine?.temperatureEstimated ? [point.turbine.inletTemperatureK] : [],
  );
  if (found.length === 0) return 'Estimated from fuel, lambda and consumption.';
  const show = (kelvin: number) => showResult(kelvin, 'temperature', units);
  const lowest = show(Math.min(...found));
  const highest = show(Math.max(...found));
  const range = lowest === highest ? lowest : `${lowest} to ${highest}`;
  return `${range} along the line, estimated from fuel, lambda and consumption.`;
}
