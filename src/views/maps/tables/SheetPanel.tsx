import { useEffect, useRef } from 'react';
import { isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import { sheetFlowUnits } from '../../../units/index.ts';
import { ChoiceRow } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import type { MapEdit } from '../useMapEdit.ts';
import { EfficiencyChoice } from './EfficiencyChoice.tsx';
import { MapQuantity } from './MapQuantity.tsx';
import { ReferenceFields } from './ReferenceFields.tsx';
import { SheetNames } from './SheetNames.tsx';
import { TurbineMeaning } from './TurbineMeaning.tsx';
import type { TableProps } from './tableProps.ts';

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
