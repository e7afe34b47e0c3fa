import { useCallback, useEffect, useRef, useState } from 'react';
import { type MapDraft, renameMap } from '../../../build/index.ts';
import { useApply, useFieldDraft } from '../../../store/index.ts';
import { type QuantityKey, sheetFlowUnits } from '../../../units/index.ts';
import { ChoiceRow, QuantityField, SelectField, TextLine, type TypedQuantity } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { setEfficiencyUnit } from '../model/editDraft.ts';
import { commonReferences, matchingReference } from '../model/references.ts';
import type { MapEdit } from '../useMapEdit.ts';
import type { TableProps } from './tableProps.ts';

const FLOW_UNITS = (['kg/s', 'lb/min', 'm3/s', 'cfm'] as const).map((key) => ({
  key,
  name: sheetFlowUnits[key].label,
}));
const EFFICIENCY_UNITS = [
  { key: '%', name: '74 (percent)' },
  { key: '1', name: '0.74 (fraction)' },
] as const;

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
      <Names draft={draft} edit={edit} />
      <Reference draft={draft} edit={edit} />
      <Units draft={draft} edit={edit} />
      <LimitAndWheel draft={draft} edit={edit} />
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
      <ChoiceRow
        label="Efficiency"
        value={draft.efficiencyUnit}
        options={EFFICIENCY_UNITS}
        onChange={(unit) => edit((d) => setEfficiencyUnit(d, unit), 'change efficiency unit', 'efficiency-unit')}
      />
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

function Names({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
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

function Reference({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
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

function MapQuantity({ draft, edit, place, label, quantity, read, change }: MapQuantityProps) {
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
