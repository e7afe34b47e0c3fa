import type { MapDraft } from '../../build/index.ts';
import { sheetFlowKeys, sheetFlowUnits } from '../../units/index.ts';
import { ChoiceRow, SelectField } from '../../widgets/index.ts';
import { Field } from '../shared/Field.tsx';
import type { MapEdit } from './desk.ts';
import { readReference, setEfficiencyUnit } from './editDraft.ts';
import styles from './maps.module.css';

/** The reference state of the sheet. */
export function ReferenceFields({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const known = matchingReference(draft.reference);
  const { temperature, pressure } = draft.reference;
  const isBlank = temperature.text.trim() === '' && pressure.text.trim() === '';
  const own = isBlank ? 'Choose, or enter it above' : 'As entered above';
  const options = [
    { key: 'own', name: known === null ? own : 'Another' },
    ...commonReferences.map(({ key, name }) => ({ key, name })),
  ];
  const choose = (key: string) => {
    const found = commonReferences.find((c) => c.key === key);
    if (found) edit((d) => ({ ...d, reference: found.reference }), 'change reference state', 'reference');
  };
  return (
    <fieldset className={styles.group} data-part="reference">
      <legend>Reference state that flow and speed are corrected to</legend>
      <Field path="map.reference.temperature" id={draft.id} />
      <Field path="map.reference.pressure" id={draft.id} />
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

const FLOW_UNITS = sheetFlowKeys.map((key) => ({ key, name: sheetFlowUnits[key].label }));

/** In which unit the flows of a compressor map are printed. */
export function FlowUnitChoice({ draft, edit, label }: { draft: MapDraft; edit: MapEdit; label: string }) {
  return (
    <ChoiceRow
      label={label}
      value={draft.flowUnit}
      options={FLOW_UNITS}
      onChange={(flowUnit) => edit((d) => ({ ...d, flowUnit }), 'change flow unit', 'flow-unit')}
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
  const own = readReference({ reference });
  if (own === null) return null;
  const isOwn = (other: typeof own) =>
    Math.abs(other.temperatureK - own.temperatureK) < 0.02 && Math.abs(other.pressurePa - own.pressurePa) < 10;
  return commonReferences.find((common) => isOwn(readReference(common) ?? own))?.key ?? null;
}
