import { useCallback, useEffect, useRef, useState } from 'react';
import { isTurbineSheet, type MapDraft, renameMap } from '../../build/index.ts';
import { useApply, useFieldDraft } from '../../store/index.ts';
import { parseQuantity, type QuantityKey, sheetFlowUnits } from '../../units/index.ts';
import { ChoiceRow, QuantityField, SelectField, TextLine, type TypedQuantity } from '../../widgets/index.ts';
import type { MapEdit, TableProps } from './desk.ts';
import { setEfficiencyUnit } from './editDraft.ts';
import styles from './maps.module.css';
import { isParameter, setTurbineFlow, turbineFlowOf, turbineFlows } from './sheetKinds/turbine.tsx';

const FLOW_UNITS = (['kg/s', 'lb/min', 'm3/s', 'cfm'] as const).map((key) => ({
  key,
  name: sheetFlowUnits[key].label,
}));
/** What stands on the sheet once: name, source, reference state, units, limits and wheel. */
export function SheetPanel({ draft, desk, actions, edit }: TableProps) {
  const panel = useRef<HTMLDivElement>(null);
  const part = desk.goTo?.place.part;
  useEffect(() => {
    if (part !== 'reference' && part !== 'limits' && part !== 'wheel') return;
    panel.current?.querySelector<HTMLElement>(`[data-part="${part}"] input`)?.focus();
    actions.set({ goTo: null });
  }, [part, actions]);
  return (
    <div ref={panel} className={styles.panel}>
      <SheetNames draft={draft} edit={edit} />
      {isTurbineSheet(draft) ? (
        <TurbineMeaning draft={draft} edit={edit} />
      ) : (
        <>
          <ReferenceFields draft={draft} edit={edit} />
          <Units draft={draft} edit={edit} />
          <LimitAndWheel draft={draft} edit={edit} />
        </>
      )}
    </div>
  );
}

function Units({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  return (
    <fieldset className={styles.group}>
      <legend>How the sheet gives its numbers</legend>
      <ChoiceRow
        label="Flow"
        value={draft.flowUnit}
        options={FLOW_UNITS}
        onChange={(flowUnit) => edit((d) => ({ ...d, flowUnit }), 'change flow unit', 'flow-unit')}
      />
      <EfficiencyChoice draft={draft} edit={edit} />
      <p className={styles.help}>
        Flows stay as typed when the unit is changed: it says what the numbers on the sheet mean. Volume flow is at the
        reference state.
      </p>
    </fieldset>
  );
}

function LimitAndWheel({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  return (
    <>
      <fieldset className={styles.group} data-part="limits">
        <legend>Limit</legend>
        <MapQuantity
          draft={draft}
          edit={edit}
          place="limits.shaftSpeed"
          label="Maximum shaft speed"
          quantity="rotational-speed"
          read={(d) => d.limits.shaftSpeed}
          change={(d, shaftSpeed) => ({ ...d, limits: { shaftSpeed } })}
        />
      </fieldset>
      <fieldset className={styles.group} data-part="wheel">
        <legend>Compressor wheel</legend>
        <MapQuantity
          draft={draft}
          edit={edit}
          place="wheel.exducer"
          label="Exducer diameter"
          quantity="wheel-length"
          read={(d) => d.wheel.exducer}
          change={(d, exducer) => ({ ...d, wheel: { ...d.wheel, exducer } })}
        />
        <MapQuantity
          draft={draft}
          edit={edit}
          place="wheel.inducer"
          label="Inducer diameter"
          quantity="wheel-length"
          read={(d) => d.wheel.inducer}
          change={(d, inducer) => ({ ...d, wheel: { ...d.wheel, inducer } })}
        />
      </fieldset>
    </>
  );
}

const KINDS = [
  { key: 'corrected', name: 'Corrected flow' },
  { key: 'parameter', name: 'Flow parameter' },
] as const;
const CORRECTED = turbineFlows.filter(({ key }) => !isParameter(key));
const PARAMETERS = turbineFlows.flatMap(({ key }) => (isParameter(key) ? [{ key, name: key }] : []));

/** What the numbers of a turbine sheet mean: its flow, the reference state where the flow has one, its ratio and efficiency. */
export function TurbineMeaning({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const flow = turbineFlowOf(draft);
  const kind = draft.flowParameter === undefined ? 'corrected' : 'parameter';
  const set = (next: Parameters<typeof setTurbineFlow>[1]) =>
    edit((d) => setTurbineFlow(d, next), 'change flow meaning', 'flow-meaning');
  return (
    <>
      <fieldset className={styles.group}>
        <legend>How the sheet gives its numbers</legend>
        <ChoiceRow
          label="Flow is a"
          value={kind}
          options={KINDS}
          onChange={(next) => {
            if (next === 'parameter') set('kPa');
            else set(draft.flowUnit === 'lb/min' ? 'lb/min' : 'kg/s');
          }}
        />
        <ChoiceRow
          label={kind === 'corrected' ? 'Unit' : 'Unit: kg√K/s per'}
          value={flow ?? 'kg/s'}
          options={kind === 'corrected' ? CORRECTED : PARAMETERS}
          onChange={set}
        />
        <p className={styles.help}>
          {kind === 'corrected'
            ? 'Corrected flow: W √(T03/Tref) / (p03/pref), in a unit of mass flow.'
            : 'Flow parameter: W √T03 / p03, with T03 in kelvin; it needs no reference state.'}{' '}
          The numbers stay as typed.
        </p>
        <EfficiencyChoice draft={draft} edit={edit} />
        <p className={styles.help}>
          Expansion ratio is p3/p4: total pressure before the turbine over static pressure behind it, both absolute.
          Efficiency is total to static.
        </p>
      </fieldset>
      {kind === 'corrected' && <ReferenceFields draft={draft} edit={edit} />}
    </>
  );
}

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

/** Name and source. */
export function SheetNames({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const apply = useApply();
  const [typed, setTyped] = useState<{ id: string; text: string } | null>(null);
  const name = typed?.id === draft.id ? typed.text : draft.name;
  return (
    <div className={styles.group}>
      <TextLine
        label="Name"
        value={name}
        onChange={(text, { transient }) => {
          // A name is taken when it is finished: while it is typed, every letter would have to be unique on the shelf.
          setTyped(transient ? { id: draft.id, text } : null);
          if (!transient) apply(renameMap(draft.id, text));
        }}
      />
      <TextLine
        label="Read by whom, from what, when"
        value={draft.source}
        rows={2}
        onChange={(source) => edit((d) => (d.source === source ? d : { ...d, source }), 'edit source', 'source')}
      />
    </div>
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
