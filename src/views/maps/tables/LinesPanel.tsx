import { useEffect, useRef } from 'react';
import { isTurbineSheet } from '../../../build/index.ts';
import { Button, ChoiceRow, TextLine } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { setLineSpeed, sortPoints } from '../model/editDraft.ts';
import { speedName, speedUnitLabel } from '../model/sheetWords.ts';
import { AllLines } from './AllLines.tsx';
import { LineList } from './LineList.tsx';
import { LinePoints } from './LinePoints.tsx';
import type { TableProps } from './tableProps.ts';

const TABLES = [
  { key: 'one', name: 'Line by line' },
  { key: 'all', name: 'All in one table' },
] as const;

/** The lines of the sheet: line by line, or all of them in one table. */
export function LinesPanel(props: TableProps & { onPasteTable: () => void }) {
  const { draft, desk, actions, edit } = props;
  const isScrambled = props.findings.some((f) => f.code === 'points-unordered' || f.code === 'doubles-back');
  return (
    <div className={styles.panel}>
      <div className={styles.panelTools}>
        <ChoiceRow
          label="Show"
          hideLabel
          value={desk.table}
          options={TABLES}
          onChange={(table) => actions.set({ table })}
        />
        <Button icon="table" onPress={props.onPasteTable}>
          Paste a table
        </Button>
        {isScrambled && (
          <Button onPress={() => edit(sortPoints, 'sort points', 'sort-points')}>Sort points along lines</Button>
        )}
      </div>
      {desk.table === 'all' ? (
        <AllLines {...props} />
      ) : (
        <div className={styles.lineByLine}>
          <LineList {...props} />
          <div className={styles.linePoints}>
            <LineSpeed {...props} />
            {draft.speedLines[desk.line] !== undefined && <LinePoints {...props} />}
          </div>
        </div>
      )}
    </div>
  );
}

/** The corrected speed of the chosen line. */
function LineSpeed({ draft, findings, desk, actions, edit }: TableProps) {
  const { line, goTo } = desk;
  const field = useRef<HTMLDivElement>(null);
  const isTarget = goTo?.place.part === 'speed-line' && goTo.place.line === line && goTo.place.point === undefined;
  useEffect(() => {
    if (!isTarget) return;
    field.current?.querySelector('input')?.focus();
    actions.set({ goTo: null });
  }, [isTarget, actions]);
  const chosen = draft.speedLines[line];
  const said = findings.find(
    (f) =>
      f.severity !== 'note' &&
      f.place?.part === 'speed-line' &&
      f.place.line === line &&
      f.place.point === undefined &&
      // A turbine's line without points lacks no speed: the audit says it.
      (!isTurbineSheet(draft) || /speed/.test(f.message)),
  );
  return (
    <div ref={field} className={styles.lineSpeedField}>
      <TextLine
        label={`${speedName(draft)}, ${speedUnitLabel(draft)}`}
        {...(isTurbineSheet(draft) && { placeholder: 'none given' })}
        value={chosen?.speed ?? ''}
        onChange={(speed) =>
          edit(
            (d) => (d.speedLines[line]?.speed === speed ? d : setLineSpeed(d, line, speed)),
            'edit speed',
            `speed.${line}`,
          )
        }
        error={said?.message ?? null}
      />
    </div>
  );
}
