import { useEffect, useMemo, useRef, useState } from 'react';
import { isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import { parseQuantity } from '../../../units/index.ts';
import { Button, ChoiceRow, QuantityField, SelectField, type TypedQuantity } from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { type PasteMode, takePaste } from '../model/takePaste.ts';
import type { ColumnRole } from './cellNumber.ts';
import { PastePreview } from './PastePreview.tsx';
import { type PastedFlowUnit, pastedFlowUnits, unitsFor } from './pastedUnits.ts';
import { type MapTable, readMapTable } from './readMapTable.ts';
import { splitTable } from './splitTable.ts';

export interface PastePanelProps {
  draft: MapDraft;
  /** Text that was pasted already; '' opens the panel empty. */
  firstText: string;
  onTake: (next: MapDraft, lines: number) => void;
  onCancel: () => void;
  /** The map as it would be, for the plot; null while nothing can be taken over. */
  onPreview: (next: MapDraft | null) => void;
}

const named = (keys: readonly PastedFlowUnit[]) => keys.map((key) => ({ key, name: pastedFlowUnits[key].label }));
const UNITS = named(unitsFor(false));
const TURBINE_UNITS = named(unitsFor(true));
const MODES = [
  { key: 'replace', name: 'Instead of the lines there' },
  { key: 'add', name: 'Beside them' },
] as const;
const RPM = ['rpm'] as const;

/** A pasted table: what was understood, what can be set right, and the plot of it, before anything is taken over. */
export function PastePanel({ draft, firstText, onTake, onCancel, onPreview }: PastePanelProps) {
  const paste = usePastedTable(draft, firstText);
  const { text, cells, table, next, problem, isTurbine } = paste;
  useEffect(() => onPreview(next), [next, onPreview]);
  useEffect(() => () => onPreview(null), [onPreview]);
  const box = useFocusFirst(firstText === '');
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: Escape closes from anywhere inside
    <div ref={box} className={styles.panel} onKeyDown={(event) => event.key === 'Escape' && onCancel()}>
      <h3 className={styles.pasteTitle}>
        {isTurbine ? 'Paste a table of a turbine sheet' : 'Paste a table of speed lines'}
      </h3>
      <label className={styles.pasteLabel}>
        {isTurbine
          ? 'Columns for expansion ratio and flow, with or without efficiency and speed, in any order; lines without speeds stand apart by an empty row'
          : 'Columns for speed, flow, pressure ratio and efficiency in any order, or blocks under their speeds'}
        <textarea
          className={styles.pasteText}
          rows={cells.length === 0 ? 10 : 4}
          spellCheck={false}
          value={text}
          placeholder="Paste here (Ctrl+V) from a spreadsheet, a CSV file or a printed table"
          onChange={(event) => paste.changeText(event.target.value)}
        />
      </label>
      {cells.length > 0 && (
        <>
          <Choices paste={paste} />
          {problem !== null && (
            <p className={styles.pasteProblem} role="alert">
              {problem}
            </p>
          )}
          <PastePreview table={table} isTurbine={isTurbine} onRoles={paste.setRoles} />
        </>
      )}
      <div className={styles.pasteButtons}>
        <Button
          variant="primary"
          isDisabled={next === null}
          onPress={() => next !== null && onTake(next, table.lines.length)}
        >
          {takeWords(table, next !== null)}
        </Button>
        <Button onPress={onCancel}>Cancel</Button>
      </div>
    </div>
  );
}

/** The pasted text, what the user says about it, and what becomes of it. */
function usePastedTable(draft: MapDraft, firstText: string) {
  const isTurbine = isTurbineSheet(draft);
  const usualFlowUnit = draft.flowParameter ?? draft.flowUnit;
  const [text, setText] = useState(firstText);
  const [roles, setRoles] = useState<readonly ColumnRole[] | undefined>();
  const [flowUnit, setFlowUnit] = useState<PastedFlowUnit | undefined>();
  const [design, setDesign] = useState<TypedQuantity>({ text: '', unit: 'rpm' });
  const hasLines = draft.speedLines.some((l) => l.points.some((p) => p.flow.trim() !== ''));
  const [mode, setMode] = useState<PasteMode>('replace');
  const cells = useMemo(() => splitTable(text), [text]);
  const designSpeed = parseQuantity(design.text, 'rotational-speed', design.unit);
  const designSpeedRpm = designSpeed.ok ? designSpeed.si : undefined;
  const table = useMemo(
    () => readMapTable(cells, { roles, flowUnit, designSpeedRpm, usualFlowUnit, isTurbine }),
    [cells, roles, flowUnit, designSpeedRpm, usualFlowUnit, isTurbine],
  );
  const taken = useMemo(() => (table.problem === null ? takePaste(draft, table, mode) : null), [draft, table, mode]);
  const next = taken === null || typeof taken === 'string' ? null : taken;
  const problem = cells.length === 0 ? null : (table.problem ?? (typeof taken === 'string' ? taken : null));
  const changeText = (changed: string) => {
    setText(changed);
    // What was chosen for another table does not hold for this one.
    setRoles(undefined);
    setFlowUnit(undefined);
  };
  return {
    ...{ text, cells, table, next, problem, design, mode, hasLines, isTurbine },
    ...{ changeText, setRoles, setFlowUnit, setDesign, setMode },
  };
}

function takeWords(table: MapTable, ready: boolean): string {
  if (!ready) return 'Take over';
  const n = table.lines.length;
  return `Take over ${n} ${n === 1 ? 'line' : 'lines'}`;
}

function Choices({ paste }: { paste: ReturnType<typeof usePastedTable> }) {
  const { table, isTurbine } = paste;
  return (
    <div className={styles.pasteChoices}>
      <SelectField
        label="Flow is in"
        value={table.flowUnit}
        options={isTurbine ? TURBINE_UNITS : UNITS}
        onChange={paste.setFlowUnit}
      />
      {table.speedsInPercent && (
        <QuantityField
          label="Speed at 100 %"
          value={paste.design}
          quantity="rotational-speed"
          units={RPM}
          allowEmpty
          onChange={paste.setDesign}
        />
      )}
      {paste.hasLines && <ChoiceRow label="Take over" value={paste.mode} options={MODES} onChange={paste.setMode} />}
    </div>
  );
}

/** The text box when there is nothing yet, else the button that takes over. */
function useFocusFirst(isEmpty: boolean) {
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const target = isEmpty ? 'textarea' : 'button:not([disabled])';
    box.current?.querySelector<HTMLElement>(target)?.focus();
  }, [isEmpty]);
  return box;
}
