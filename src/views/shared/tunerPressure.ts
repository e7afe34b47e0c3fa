import { type Build, calibrationOptions } from '../../build/index.ts';
import { findUnit, formatNumber, fromSi, NO_NUMBER, unitOf } from '../../units/index.ts';

/** Pressure units that a boost controller or a gauge works in. */
export const TUNER_UNITS = ['bar', 'kPa', 'mbar', 'psi'] as const;

const DECIMALS: Readonly<Record<string, number>> = { bar: 2, kPa: 0, mbar: 0, psi: 1 };

/** The unit and kind of pressure that the tuner works in: the whole view speaks it. */
export interface TunerPressure {
  unit: string;
  /** 'bar' */
  label: string;
  kind: 'gauge' | 'absolute';
  /** 'Boost' or 'Manifold pressure, absolute'. */
  title: string;
  decimals: number;
  /** Pressure above the zero of the kind, in the unit. */
  value(absolutePa: number, ambientPa: number): number;
  /** The same with its unit: '1.42 bar'. */
  text(absolutePa: number | null, ambientPa: number): string;
  /** What may be asked for at most: rounded down, never up. */
  textDown(absolutePa: number, ambientPa: number): string;
}

export function tunerPressure(build: Build): TunerPressure {
  const { pressureKind: kind, step } = build.calibration;
  const unit = findUnit('pressure-difference', step.unit) === null ? 'bar' : step.unit;
  const { label } = unitOf('pressure-difference', unit);
  const decimals = DECIMALS[unit] ?? 2;
  const value = (absolutePa: number, ambientPa: number) =>
    fromSi(absolutePa - (kind === 'gauge' ? ambientPa : 0), 'pressure-difference', unit);
  const written = (shown: number) =>
    `${formatNumber(shown, decimals)}\u00a0${label}${kind === 'gauge' ? '' : '\u00a0abs'}`;
  return {
    unit,
    label,
    kind,
    title: kind === 'gauge' ? 'Boost, gauge' : 'Manifold pressure, absolute',
    decimals,
    value,
    text: (absolutePa, ambientPa) => (absolutePa === null ? NO_NUMBER : written(value(absolutePa, ambientPa))),
    textDown: (absolutePa, ambientPa) => {
      const step = 10 ** -decimals;
      return written(Math.floor(value(absolutePa, ambientPa) / step + 1e-9) * step);
    },
  };
}

/** Decimals of the table: as many as the step has. */
export function stepDecimals(build: Build): number {
  const options = calibrationOptions(build);
  if (options === null) return 2;
  const step = fromSi(options.stepPa, 'pressure-difference', tunerPressure(build).unit);
  for (let decimals = 0; decimals < 6; decimals += 1) {
    if (Math.abs(step - Number(step.toFixed(decimals))) < step * 1e-6) return decimals;
  }
  return 6;
}
