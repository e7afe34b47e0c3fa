import type { MapDraft } from '../../../build/index.ts';
import { parseQuantity } from '../../../units/index.ts';

type Reference = MapDraft['reference'];

/** Reference states that sheets use (standards and older practice; shared list of the published checks), as plain physical values. */
export const commonReferences: readonly { key: string; name: string; reference: Reference }[] = [
  state('25 °C, 100 kPa', '25', '100'),
  state('15 °C, 101.325 kPa', '15', '101.325'),
  state('20 °C, 100 kPa', '20', '100'),
  state('20 °C, 98.1 kPa', '20', '98.1'),
  state('20 °C, 101.325 kPa', '20', '101.325'),
  {
    key: '85.3 °F, 28.4 inHg',
    name: '29.6 °C (545 °R), 96.2 kPa (28.4 inHg)',
    reference: { temperature: { text: '85.3', unit: 'degF' }, pressure: { text: '28.4', unit: 'inHg' } },
  },
];

function state(name: string, celsius: string, kPa: string): { key: string; name: string; reference: Reference } {
  return {
    key: name,
    name,
    reference: { temperature: { text: celsius, unit: 'degC' }, pressure: { text: kPa, unit: 'kPa' } },
  };
}

/** The common state that has the same values, within 0.02 K and 10 Pa (a sheet may print 298 or 298.15 K); null for another or none. */
export function matchingReference(reference: Reference): string | null {
  const own = valuesOf(reference);
  if (own === null) return null;
  const found = commonReferences.find((c) => {
    const other = valuesOf(c.reference);
    return (
      other !== null &&
      Math.abs(other.temperature - own.temperature) < 0.02 &&
      Math.abs(other.pressure - own.pressure) < 10
    );
  });
  return found?.key ?? null;
}

function valuesOf(reference: Reference): { temperature: number; pressure: number } | null {
  const temperature = parseQuantity(reference.temperature.text, 'temperature', reference.temperature.unit);
  const pressure = parseQuantity(reference.pressure.text, 'pressure-absolute', reference.pressure.unit);
  return temperature.ok && pressure.ok ? { temperature: temperature.si, pressure: pressure.si } : null;
}
