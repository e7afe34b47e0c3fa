import type { ToleranceKey, Tolerances } from './types.ts';

/**
 * 'relative': share of the value. 'share': added to a value that is itself a share (efficiency points). 'temperature-difference': K,
 * added.
 */
export type ToleranceKind = 'relative' | 'share' | 'temperature-difference';

export interface ToleranceRow {
  key: ToleranceKey;
  /** Plain name for labels. */
  label: string;
  /** What is varied, in one clause. */
  meaning: string;
  kind: ToleranceKind;
  /** Half width of the band that holds 19 of 20. */
  usual: number;
  /** The largest that may be entered. */
  largest: number;
}

function row(
  key: ToleranceKey,
  label: string,
  meaning: string,
  kind: ToleranceKind,
  usual: number,
  largest: number,
): ToleranceRow {
  return { key, label, meaning, kind, usual, largest };
}

/**
 * What may be off, and by how much it usually is (common practice, no source). Each is one number for the whole build: a curve or a map is
 * off by the same share everywhere.
 */
export const TOLERANCE_TABLE: readonly ToleranceRow[] = [
  row('volumetricEfficiency', 'Volumetric efficiency', 'the whole curve, as a share', 'relative', 0.03, 0.3),
  row('bsfc', 'Brake specific fuel consumption', 'the whole curve, as a share', 'relative', 0.04, 0.3),
  row('lambda', 'Lambda', 'the whole curve, as a share', 'relative', 0.02, 0.2),
  row('mapFlow', 'Map reading, flow', 'all flows of the map, as a share', 'relative', 0.01, 0.2),
  row('mapPressureRatio', 'Map reading, pressure ratio', 'all pressure ratios, as a share', 'relative', 0.005, 0.1),
  row('mapEfficiency', 'Map efficiency', 'all efficiencies of the map, in points', 'share', 0.015, 0.1),
  row('coolerEffectiveness', 'Cooler effectiveness', 'in points', 'share', 0.05, 0.3),
  row(
    'airTemperature',
    'Air temperature',
    'at the place, and with it air that cools the charge',
    'temperature-difference',
    5,
    40,
  ),
  row('ambientPressure', 'Ambient pressure', 'the weather, or the reading', 'relative', 0.005, 0.1),
  row('inletLoss', 'Inlet path loss', 'as a share of the loss', 'relative', 0.2, 0.9),
  row('chargeLoss', 'Charge path loss', 'as a share of the loss', 'relative', 0.2, 0.9),
  // 0.3 may be entered; the band of an estimated capacity comes on top.
  row('turbineCapacity', 'Turbine capacity', 'all flows of the turbine, as a share', 'relative', 0.03, 0.4),
  row('turbineEfficiency', 'Turbine efficiency', 'everywhere, in points', 'share', 0.03, 0.2),
  row(
    'turbineInletTemperature',
    'Turbine inlet temperature',
    'the whole curve, entered or estimated',
    'temperature-difference',
    30,
    150,
  ),
  row('exhaustLoss', 'Exhaust loss', 'as a share of the loss', 'relative', 0.25, 0.9),
];

/** What is off only where a turbine is known. */
export const TURBINE_TOLERANCES: ReadonlySet<ToleranceKey> = new Set([
  'turbineCapacity',
  'turbineEfficiency',
  'turbineInletTemperature',
  'exhaustLoss',
]);

export const USUAL_TOLERANCES: Tolerances = Object.fromEntries(
  TOLERANCE_TABLE.map(({ key, usual }) => [key, usual]),
) as Record<ToleranceKey, number>;

/** What is wrong with a set of tolerances, as one plain sentence; null: nothing. */
export function checkTolerances(tolerances: Tolerances): string | null {
  for (const { key, label, largest } of TOLERANCE_TABLE) {
    const value = tolerances[key];
    if (value >= 0 && value <= largest) continue;
    return `The tolerance of ${label.toLowerCase()} must be from 0 to ${largest}: change it.`;
  }
  return null;
}
