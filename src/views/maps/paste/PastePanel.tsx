import { useEffect, useMemo, useRef, useState } from 'react';
import { type MapDraft, mapTooBig } from '../../../build/index.ts';
import {
  counted,
  formatNumber,
  parseQuantity,
  pasteTooLong,
  tableTooLong,
  writableText,
} from '../../../units/index.ts';
import {
  Button,
  ChoiceRow,
  DataTable,
  QuantityField,
  SelectField,
  Sentences,
  type TypedQuantity,
} from '../../../widgets/index.ts';
import styles from '../maps.module.css';
import { viewOf } from '../sheetKinds/kinds.ts';
import { type Cells, cellNumber, splitTable } from './cells.ts';
import { type ColumnRole, type PastedFlowUnit, type PasteForm, pastedFlowUnits, unitsFor } from './columns.ts';
import { type MapTable, type PastedLine, type PastedSpeedUnit, readMapTable } from './readMapTable.ts';
import { type PasteMode, takePaste } from './takePaste.ts';

interface PastePanelProps {
  draft: MapDraft;
  /** What is pasted so far. */
  text: string;
  onText: (text: string) => void;
  onTake: (next: MapDraft, lines: number) => void;
  onCancel: () => void;
  /** The map as it would be, for the plot; null while nothing can be taken over. */
  onPreview: (next: MapDraft | null) => void;
}

const named = (keys: readonly PastedFlowUnit[]) => keys.map((key) => ({ key, name: pastedFlowUnits[key].label }));
const MODES = [
  { key: 'replace', name: 'Instead of the lines there' },
  { key: 'add', name: 'Beside them' },
] as const;
const SPEED_UNITS = (['rpm', 'krpm', '%'] as const).map((key) => ({ key, name: key }));

/** A pasted table: what was understood, what can be set right, and the plot of it, before anything is taken over. */
export function PastePanel({ draft, onTake, onCancel, onPreview, ...given }: PastePanelProps) {
  const paste = usePastedTable(draft, given.text, given.onText);
  const { text, cells, table, next, problem, form } = paste;
  useEffect(() => onPreview(next), [next, onPreview]);
  useEffect(() => () => onPreview(null), [onPreview]);
  const [beganEmpty] = useState(text === '');
  const box = useFocusFirst(beganEmpty);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: Escape closes from anywhere inside
    <div ref={box} className={styles.panel} onKeyDown={(event) => event.key === 'Escape' && onCancel()}>
      <h3 className="ui-heading">{form.title}</h3>
      <label className="column gap-xs soft">
        {form.columnsLabel}
        <textarea
          className={styles.pasteText}
          rows={cells.length === 0 ? 10 : 4}
          spellCheck={false}
          value={text}
          placeholder="Paste here (Ctrl+V) from a spreadsheet, a CSV file or a printed table"
          onChange={(event) => paste.changeText(event.target.value)}
        />
      </label>
      {problem !== null && (
        <p className={styles.pasteProblem} role="alert">
          {problem}
        </p>
      )}
      {cells.length > 0 && (
        <>
          <Choices paste={paste} />
          <PastePreview table={table} form={form} onRoles={paste.setRoles} />
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
function usePastedTable(draft: MapDraft, text: string, onText: (text: string) => void) {
  const form = viewOf(draft).paste;
  const usualFlowUnit = draft.flowParameter ?? draft.flowUnit;
  const [refused, setRefused] = useState<string | null>(null);
  const [roles, setRoles] = useState<readonly ColumnRole[] | undefined>();
  const [flowUnit, setFlowUnit] = useState<PastedFlowUnit | undefined>();
  const [speedUnit, setSpeedUnit] = useState<PastedSpeedUnit | undefined>();
  const [design, setDesign] = useState<TypedQuantity>({ text: '', unit: 'rpm' });
  const hasLines = draft.speedLines.some((l) => l.points.some((p) => p.flow.trim() !== ''));
  const [mode, setMode] = useState<PasteMode>('replace');
  const { cells, tooLong } = useMemo(() => cellsOf(text), [text]);
  const designSpeed = parseQuantity(design.text, 'rotational-speed', design.unit);
  const designSpeedRpm = designSpeed.ok ? designSpeed.si : undefined;
  const table = useMemo(
    () => readMapTable(cells, { roles, flowUnit, speedUnit, designSpeedRpm, usualFlowUnit, form }),
    [cells, roles, flowUnit, speedUnit, designSpeedRpm, usualFlowUnit, form],
  );
  const taken = useMemo(() => {
    if (table.problem !== null) return null;
    const next = takePaste(draft, table, mode);
    return typeof next === 'string' ? next : (mapTooBig(next) ?? next);
  }, [draft, table, mode]);
  const next = taken === null || typeof taken === 'string' ? null : taken;
  const problem =
    refused ?? (cells.length === 0 ? tooLong : (table.problem ?? (typeof taken === 'string' ? taken : null)));
  const changeText = (changed: string) => {
    const refusal = pasteTooLong(changed);
    setRefused(refusal);
    if (refusal !== null) return;
    onText(writableText(changed));
    // What was chosen for another table does not hold for this one.
    setRoles(undefined);
    setFlowUnit(undefined);
    setSpeedUnit(undefined);
  };
  return {
    ...{ text, cells, table, next, problem, design, mode, hasLines, form },
    ...{ changeText, setRoles, setFlowUnit, setSpeedUnit, setDesign, setMode },
  };
}

/** The table in a text; none where it is longer than a table can be. */
function cellsOf(text: string): { cells: Cells; tooLong: string | null } {
  const cells = splitTable(text);
  const tooLong = tableTooLong(cells.length);
  return { cells: tooLong === null ? cells : [], tooLong };
}

function takeWords(table: MapTable, ready: boolean): string {
  if (!ready) return 'Take over';
  const n = table.lines.length;
  return `Take over ${counted(n, 'line')}`;
}

function Choices({ paste }: { paste: ReturnType<typeof usePastedTable> }) {
  const { table, form } = paste;
  return (
    <div className="column gap-s">
      <SelectField
        label="Flow is in"
        value={table.flowUnit}
        options={named(unitsFor(form))}
        onChange={paste.setFlowUnit}
      />
      {form.mayBePercent && table.roles.includes('speed') && (
        <SelectField label="Speed is in" value={table.speedUnit} options={SPEED_UNITS} onChange={paste.setSpeedUnit} />
      )}
      {table.speedsInPercent && (
        <QuantityField
          label="Speed at 100 %"
          value={paste.design}
          quantity="rotational-speed"
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

const FLOW_DECIMALS = { 'kg/s': 3, 'lb/min': 1, 'm3/s': 3, cfm: 1, kPa: 5, bar: 3, MPa: 2 } as const;
const SHOWN_ROWS = 3;
const SHOWN_SKIPPED = 4;

/** What was understood of a pasted table: its columns, the lines made of it, and what was done with the numbers. */
function PastePreview(props: { table: MapTable; form: PasteForm; onRoles: (roles: ColumnRole[]) => void }) {
  const { table, form, onRoles } = props;
  const choose = (column: number, role: ColumnRole) =>
    onRoles(table.roles.map((old, i) => (i === column ? role : old === role && role !== 'ignored' ? 'ignored' : old)));
  return (
    <>
      <div className={styles.scrollX}>
        <table className={styles.preview}>
          <caption className={styles.hidden}>Columns of the pasted table and what they are taken for</caption>
          <thead>
            <tr>
              {table.roles.map((role, column) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: columns are known by their place
                <th key={column} scope="col">
                  <select
                    aria-label={`Column ${column + 1} is`}
                    className={styles.role}
                    value={role}
                    onChange={(event) => choose(column, event.target.value as ColumnRole)}
                  >
                    {form.roles.map(({ key, name }) => (
                      <option key={key} value={key}>
                        {name}
                      </option>
                    ))}
                  </select>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {table.cells.slice(table.hasHeader ? table.firstRow - 1 : 0, table.firstRow + SHOWN_ROWS).map((row, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: rows are texts without identity
              <tr key={i} className={i === 0 && table.hasHeader ? styles.pastedHeader : undefined}>
                {table.roles.map((role, column) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: as above
                  <td key={column} className={role === 'ignored' ? styles.unused : undefined}>
                    {row[column] ?? ''}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {table.lines.length > 0 && <Lines table={table} form={form} />}
      <Sentences as="ul" of={table.notes} className={styles.pasteNotes} />
      {table.skipped.length > 0 && <Skipped table={table} />}
    </>
  );
}

function Lines({ table, form }: { table: MapTable; form: PasteForm }) {
  const flowUnit = pastedFlowUnits[table.sheetFlowUnit].label;
  const ratio = form.roles.find(({ key }) => key === 'ratio')?.name;
  return (
    <DataTable
      className={styles.preview}
      caption={form.linesCaption}
      head={[form.speedHeading, 'Points', `Flow, ${flowUnit}`, ratio]}
      rows={table.lines.map((line, key) => ({
        key,
        cells: [
          line.speed === '' ? 'none given' : formatNumber(Number(line.speed), 0),
          line.points.length,
          range(line, 'flow', FLOW_DECIMALS[table.sheetFlowUnit]),
          range(line, 'pressureRatio', 2),
        ],
      }))}
    />
  );
}

function range(line: PastedLine, key: 'flow' | 'pressureRatio', decimals: number): string {
  const values = line.points.flatMap((p) => cellNumber(p[key]) ?? []);
  return `${formatNumber(Math.min(...values), decimals)} to ${formatNumber(Math.max(...values), decimals)}`;
}

function Skipped({ table }: { table: MapTable }) {
  const { skipped } = table;
  const more = skipped.length - SHOWN_SKIPPED;
  return (
    <div className={styles.pasteSkipped}>
      {skipped.length === 1 ? 'One row is left out:' : `${skipped.length} rows are left out:`}
      <ul>
        {skipped.slice(0, SHOWN_SKIPPED).map((s) => (
          <li key={s.row}>
            Row {s.row}: {s.reason}.
          </li>
        ))}
        {more > 0 && <li>and {more} more.</li>}
      </ul>
    </div>
  );
}
