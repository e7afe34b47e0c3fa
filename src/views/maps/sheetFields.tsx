import { useCallback } from 'react';
import type { MapDraft } from '../../build/index.ts';
import { useFieldDraft } from '../../store/index.ts';
import { parseQuantity, type QuantityKey } from '../../units/index.ts';
import { ChoiceRow, QuantityField, SelectField, type TypedQuantity } from '../../widgets/index.ts';
import type { MapEdit } from './desk.ts';
import { setEfficiencyUnit } from './editDraft.ts';
import styles from './maps.module.css';

interface MapQuantityProps {
  draft: MapDraft;
  edit: MapEdit;
  place: string;
  label: string;
  quantity: QuantityKey;
  read: (draft: MapDraft) => TypedQuantity;
  /** Must not depend on anything but its arguments, as `read`. */
  change: (draft: MapDraft, next: TypedQuantity) => MapDraft;
}

/** A quantity that stands on the sheet once. */
export function MapQuantity({ draft, edit, place, label, quantity, read, change }: MapQuantityProps) {
  const [unread, keepUnread] = useFieldDraft(`map.${draft.id}.${place}`);
  // biome-ignore lint/correctness/useExhaustiveDependencies: `read` and `change` depend on nothing but their arguments; the field redraws when its handler changes
  const onChange = useCallback(
    (next: TypedQuantity) =>
      edit(
        (d) => (read(d).text === next.text && read(d).unit === next.unit ? d : change(d, next)),
        `edit ${label.toLowerCase()}`,
        place,
      ),
    [edit, label, place],
  );
  return (
    <QuantityField
      label={label}
      value={read(draft)}
      quantity={quantity}
      onChange={onChange}
      allowEmpty
      draft={unread}
      onDraft={keepUnread}
    />
  );
}

/** The reference state of the sheet. */
export function ReferenceFields({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const known = matchingReference(draft.reference);
  const options = [
    { key: 'own', name: known === null ? 'As entered below' : 'Another' },
    ...commonReferences.map(({ key, name }) => ({ key, name })),
  ];
  const choose = (key: string) => {
    const found = commonReferences.find((c) => c.key === key);
    if (found) edit((d) => ({ ...d, reference: found.reference }), 'change reference state', 'reference');
  };
  return (
    <fieldset className={styles.group} data-part="reference">
      <legend>Reference state that flow and speed are corrected to</legend>
      <MapQuantity
        draft={draft}
        edit={edit}
        place="reference.temperature"
        label="Temperature"
        quantity="temperature"
        read={(d) => d.reference.temperature}
        change={(d, temperature) => ({ ...d, reference: { ...d.reference, temperature } })}
      />
      <MapQuantity
        draft={draft}
        edit={edit}
        place="reference.pressure"
        label="Pressure, absolute"
        quantity="pressure-absolute"
        read={(d) => d.reference.pressure}
        change={(d, pressure) => ({ ...d, reference: { ...d.reference, pressure } })}
      />
      <SelectField label="Common on sheets" value={known ?? 'own'} options={options} onChange={choose} />
    </fieldset>
  );
}

const EFFICIENCY_UNITS = [
  { key: '%', name: '74 (percent)' },
  { key: '1', name: '0.74 (fraction)' },
] as const;

/** How the sheet prints its efficiencies. */
export function EfficiencyChoice({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  return (
    <ChoiceRow
      label="Efficiency"
      value={draft.efficiencyUnit}
      options={EFFICIENCY_UNITS}
      onChange={(unit) => edit((d) => setEfficiencyUnit(d, unit), 'change efficiency unit', 'efficiency-unit')}
    />
  );
}

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
