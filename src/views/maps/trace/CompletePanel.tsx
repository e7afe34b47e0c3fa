import { useMemo } from 'react';
import { type DraftCell3, emptyHabits, type MapDraft } from '../../../build/index.ts';
import { isVolumeFlow, sheetFlowUnits } from '../../../units/index.ts';
import { Button, ChoiceRow, IconButton, QuantityField } from '../../../widgets/index.ts';
import type { MapEdit } from '../desk.ts';
import mapStyles from '../maps.module.css';
import { lineColumns, PointGrid, useColumns } from '../PointGrid.tsx';
import { FindingLine } from '../SheetPicture.tsx';
import { staticOutlet } from './axes.ts';
import { completions, setHabits } from './completing.ts';
import styles from './trace.module.css';

const OUTLETS = [
  { key: 'total', name: 'Total' },
  { key: 'static', name: 'Static' },
] as const;

/** How the sheet prints what others print otherwise, what the tables lack, and what was taken for granted. */
export function CompletePanel({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const todo = useMemo(() => completions(draft), [draft]);
  const assumed = draft.assumed ?? [];
  return (
    <div className={mapStyles.panel}>
      <Habits draft={draft} edit={edit} />
      <section className={styles.card} aria-label="What can be completed">
        <h3>What can be completed</h3>
        {todo.length === 0 && <p className={mapStyles.help}>Nothing is left open.</p>}
        <ul className={styles.findings}>
          {todo.map(({ key, message, action, apply }) => (
            <FindingLine key={key} severity="warning" message={message} isUnsaid>
              {action !== '' && (
                <Button onPress={() => edit(apply, 'complete the sheet', `complete.${Date.now()}`)}>{action}</Button>
              )}
            </FindingLine>
          ))}
        </ul>
      </section>
      <section className={styles.card} aria-label="What was taken for granted">
        <h3>Taken for granted</h3>
        <ul className={styles.notes}>
          <li>{flowMeaning(draft)}</li>
          <li>{surgeSource(draft)}</li>
          {outletMeaning(draft) !== null && <li>{outletMeaning(draft)}</li>}
          {assumed.map((note, i) => (
            <li key={note} className={styles.assumed}>
              <span>{note}</span>
              <IconButton
                icon="cross"
                label="Take this note away"
                onPress={() =>
                  edit((d) => ({ ...d, assumed: (d.assumed ?? []).toSpliced(i, 1) }), 'delete note', `note.${i}`)
                }
              />
            </li>
          ))}
        </ul>
      </section>
    </div>
  );
}

function Habits({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const habits = draft.habits ?? emptyHabits;
  const isStatic = habits.outletPressure === 'static';
  return (
    <fieldset className={mapStyles.group}>
      <legend>How the sheet prints</legend>
      <QuantityField
        label="Speed that is 100 %"
        value={habits.designSpeed}
        quantity="rotational-speed"
        allowEmpty
        placeholder="none"
        onChange={(designSpeed) => edit((d) => setHabits(d, { designSpeed }), 'edit design speed', 'design-speed')}
        help="Then a line's speed can be entered as it is printed: 80 %."
      />
      <ChoiceRow
        label="Outlet pressure"
        value={habits.outletPressure}
        options={OUTLETS}
        onChange={(outletPressure) => edit((d) => setHabits(d, { outletPressure }), 'change outlet pressure', 'outlet')}
      />
      {isStatic && (
        <QuantityField
          label="Outlet diameter"
          value={habits.outletDiameter}
          quantity="wheel-length"
          allowEmpty
          placeholder="not given"
          onChange={(outletDiameter) =>
            edit((d) => setHabits(d, { outletDiameter }), 'edit outlet diameter', 'outlet-diameter')
          }
          warning={
            staticOutlet(draft) === null
              ? 'Without diameter and reference state the ratios stay static: up to some percent too low at high flow.'
              : null
          }
        />
      )}
    </fieldset>
  );
}

function flowMeaning({ flowUnit }: MapDraft): string {
  const unit = sheetFlowUnits[flowUnit].label;
  return isVolumeFlow(flowUnit)
    ? `Flow in ${unit} is the volume at the reference state.`
    : `Flow in ${unit} is mass flow, corrected to the reference state.`;
}

function surgeSource({ surgeLine }: MapDraft): string {
  const count = surgeLine.filter((row) => row.flow.trim() !== '').length;
  return count > 1 ? 'Surge is the line that the sheet draws.' : 'Surge is at the left ends of the speed lines.';
}

function outletMeaning(draft: MapDraft): string | null {
  if (draft.habits?.outletPressure !== 'static') return null;
  return staticOutlet(draft) === null
    ? 'The pressure ratios are made with the static outlet pressure and are not corrected.'
    : 'What is traced is corrected from static to total outlet pressure as it is read, with an efficiency of 70 %.';
}

/** The table of efficiencies printed at single places. */
export function ReadingsPanel({ draft, edit }: { draft: MapDraft; edit: MapEdit }) {
  const { columns } = useColumns(draft, lineColumns);
  return (
    <div className={mapStyles.panel}>
      <p className={mapStyles.lead}>
        Efficiencies printed at single places. Enter the value above the picture, then click its place; at a point of a
        speed line it goes into that point's own cell.
      </p>
      <PointGrid
        label="Single efficiency readings"
        columns={columns}
        rows={draft.efficiencyReadings ?? []}
        onRows={(rows, key) =>
          edit((d) => ({ ...d, efficiencyReadings: rows as readonly DraftCell3[] }), 'edit readings', `readings.${key}`)
        }
        marks={[]}
        goTo={null}
        onArrived={() => undefined}
        onRow={() => undefined}
      />
    </div>
  );
}
