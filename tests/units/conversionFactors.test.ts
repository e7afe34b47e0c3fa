import { describe, expect, it } from 'vitest';
import { fromSi, kgPerSToSheetFlow, type QuantityKey, sheetFlowToKgPerS, toSi } from '../../src/units/index.ts';

/**
 * NIST Special Publication 811 (2008 edition), appendix B.8, factors as printed there to seven digits; values from memory,
 * agreeing with the same factors in independent unit libraries (inHg 3.386389 E+03, inH2O 2.490889 E+02, mmHg 1.333224 E+02,
 * psi 6.894757 E+03 were looked up there). 'exact' marks the factors printed in bold, i.e. exact.
 */
const printed: readonly [string, QuantityKey, string, number, 'exact' | 'seven digits'][] = [
  ['bar', 'pressure-absolute', 'bar', 1e5, 'exact'],
  ['millibar', 'pressure-absolute', 'mbar', 1e2, 'exact'],
  ['hectopascal', 'pressure-absolute', 'hPa', 1e2, 'exact'],
  ['pound-force per square inch (psi)', 'pressure-absolute', 'psi', 6.894757e3, 'seven digits'],
  ['pound-force per square inch (psi)', 'pressure-gauge', 'psi', 6.894757e3, 'seven digits'],
  ['pound-force per square inch (psi)', 'pressure-difference', 'psi', 6.894757e3, 'seven digits'],
  ['inch of mercury, conventional', 'pressure-absolute', 'inHg', 3.386389e3, 'seven digits'],
  ['millimeter of mercury, conventional', 'pressure-absolute', 'mmHg', 1.333224e2, 'seven digits'],
  ['inch of water, conventional', 'pressure-difference', 'inH2O', 2.490889e2, 'seven digits'],
  ['foot', 'altitude', 'ft', 3.048e-1, 'exact'],
  ['inch', 'wheel-length', 'in', 2.54e-2, 'exact'],
  ['cubic inch', 'displacement', 'in3', 1.638706e-5, 'seven digits'],
  ['liter', 'displacement', 'L', 1e-3, 'exact'],
  ['pound per minute', 'mass-flow', 'lb/min', 7.559873e-3, 'seven digits'],
  ['pound per minute', 'corrected-mass-flow', 'lb/min', 7.559873e-3, 'seven digits'],
  ['pound per cubic foot', 'density', 'lb/ft3', 1.601846e1, 'seven digits'],
  ['horsepower (550 ft lbf/s)', 'power', 'hp', 7.456999e2, 'seven digits'],
  ['horsepower (metric)', 'power', 'PS', 7.354988e2, 'seven digits'],
  ['foot pound-force (torque)', 'torque', 'lbft', 1.355818, 'seven digits'],
  ['pound per horsepower hour', 'bsfc', 'lb/(hp h)', 1.689659e-7, 'seven digits'],
  ['pound (avoirdupois)', 'mass', 'lb', 4.535924e-1, 'seven digits'],
  ['foot per second', 'speed', 'ft/s', 3.048e-1, 'exact'],
  // US gallon 3.785412 E-03 m3 over 3,600 s.
  ['gallon (U.S.) per hour', 'fuel-volume-flow', 'gal/h', Number((3.785412e-3 / 3600).toPrecision(7)), 'seven digits'],
];

/** The most that rounding to seven digits can move a number (and a hair, for 735.49875 which lies exactly between two). */
function halfOfSeventhDigit(factor: number): number {
  return 0.5000001 * 10 ** (Math.floor(Math.log10(factor)) - 6);
}

describe('conversion factors against NIST SP 811, appendix B.8', () => {
  it.each(printed)('%s as %s', (_name, quantity, unit, factor, digits) => {
    const ours = toSi(1, quantity, unit);
    if (digits === 'exact') expect(Math.abs(ours / factor - 1)).toBeLessThan(1e-15);
    else expect(Math.abs(ours - factor)).toBeLessThanOrEqual(halfOfSeventhDigit(factor));
  });

  it('temperatures: K = C + 273.15, K = (F + 459.67)/1.8 (SP 811, B.8)', () => {
    expect(toSi(0, 'temperature', 'degC')).toBe(273.15);
    expect(toSi(32, 'temperature', 'degF')).toBeCloseTo(273.15, 12);
    expect(toSi(212, 'temperature', 'degF')).toBeCloseTo(373.15, 12);
    expect(fromSi(288.15, 'temperature', 'degF')).toBeCloseTo(59, 12);
    expect(toSi(9, 'temperature-difference', 'degF')).toBeCloseTo(5, 12);
  });

  it('cross-checks between units that engineers know by heart (common practice, no source)', () => {
    expect(fromSi(101325, 'pressure-absolute', 'psi')).toBeCloseTo(14.696, 3);
    expect(fromSi(101325, 'pressure-absolute', 'inHg')).toBeCloseTo(29.921, 3);
    expect(fromSi(101325, 'pressure-absolute', 'mmHg')).toBeCloseTo(760, 3);
    expect(toSi(360, 'bsfc', 'g/kWh')).toBeCloseTo(1e-7, 20);
    expect(toSi(0.5, 'bsfc', 'lb/(hp h)') / toSi(304.1, 'bsfc', 'g/kWh')).toBeCloseTo(1, 3);
  });
});

describe('sheet flow', () => {
  it('turns lb/min into kg/s whatever the reference', () => {
    const anywhere = { temperatureK: 302.6, pressurePa: 96200 };
    expect(sheetFlowToKgPerS(40, 'lb/min', anywhere)).toBeCloseTo(0.3023949, 7);
    expect(sheetFlowToKgPerS(0.3, 'kg/s', anywhere)).toBe(0.3);
  });

  it('takes volume flow at the reference state (hand calculation: 100,000/(287.05 * 298.15) = 1.168443 kg/m3)', () => {
    const reference = { temperatureK: 298.15, pressurePa: 100000 };
    expect(sheetFlowToKgPerS(0.25, 'm3/s', reference)).toBeCloseTo(0.2921108, 6);
    // 1 cfm = 4.719474 E-04 m3/s (SP 811, B.8, from memory).
    expect(sheetFlowToKgPerS(500, 'cfm', reference)).toBeCloseTo(500 * 4.719474e-4 * 1.168443, 6);
  });

  it('goes back', () => {
    const reference = { temperatureK: 288.15, pressurePa: 101325 };
    for (const unit of ['kg/s', 'lb/min', 'm3/s', 'cfm'] as const) {
      expect(kgPerSToSheetFlow(sheetFlowToKgPerS(12.34, unit, reference), unit, reference)).toBeCloseTo(12.34, 12);
    }
  });
});
