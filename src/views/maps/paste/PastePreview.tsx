import { formatNumber } from '../../../units/index.ts';
import styles from '../maps.module.css';
import { type ColumnRole, cellNumber } from './cellNumber.ts';
import { pastedFlowUnits } from './pastedUnits.ts';
import type { MapTable, PastedLine } from './readMapTable.ts';

type Role = { key: ColumnRole; name: string };

const ROLES: readonly Role[] = [
  { key: 'speed', name: 'Speed, rpm' },
  { key: 'percent', name: 'Speed, %' },
  { key: 'flow', name: 'Flow' },
  { key: 'ratio', name: 'Pressure ratio' },
  { key: 'efficiency', name: 'Efficiency' },
  { key: 'ignored', name: 'not used' },
];
const TURBINE_ROLES: readonly Role[] = [
  { key: 'ratio', name: 'Expansion ratio' },
  { key: 'flow', name: 'Flow' },
  { key: 'efficiency', name: 'Efficiency' },
  { key: 'speed', name: 'Speed' },
  { key: 'ignored', name: 'not used' },
];
const FLOW_DECIMALS = { 'kg/s': 3, 'lb/min': 1, 'm3/s': 3, cfm: 1, kPa: 5, bar: 3, MPa: 2 } as const;
const SHOWN_ROWS = 3;
const SHOWN_SKIPPED = 4;

/** What was understood of a pasted table: its columns, the lines made of it, and what was done with the numbers. */
export function PastePreview(props: { table: MapTable; isTurbine: boolean; onRoles: (roles: ColumnRole[]) => void }) {
  const { table, isTurbine, onRoles } = props;
  const roles = isTurbine ? TURBINE_ROLES : ROLES;
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
                    {roles.map(({ key, name }) => (
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
      {table.lines.length > 0 && <Lines table={table} isTurbine={isTurbine} />}
      {table.notes.length > 0 && (
        <ul className={styles.pasteNotes}>
          {table.notes.map((note) => (
            <li key={note}>{note}</li>
          ))}
        </ul>
      )}
      {table.skipped.length > 0 && <Skipped table={table} />}
    </>
  );
}

function Lines({ table, isTurbine }: { table: MapTable; isTurbine: boolean }) {
  const ratio = isTurbine ? 'Expansion ratio' : 'Pressure ratio';
  const flowUnit = pastedFlowUnits[table.sheetFlowUnit].label;
  return (
    <table className={styles.preview}>
      <caption>{isTurbine ? 'Lines made of it' : 'Speed lines made of it'}</caption>
      <thead>
        <tr>
          <th scope="col">{isTurbine ? 'Speed' : 'Speed, rpm'}</th>
          <th scope="col">Points</th>
          <th scope="col">Flow, {flowUnit}</th>
          <th scope="col">{ratio}</th>
        </tr>
      </thead>
      <tbody>
        {table.lines.map((line, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: lines are shown in the order they are made
          <tr key={i}>
            <td>{line.speed === '' ? 'none given' : formatNumber(Number(line.speed), 0)}</td>
            <td>{line.points.length}</td>
            <td>{range(line, 'flow', FLOW_DECIMALS[table.sheetFlowUnit])}</td>
            <td>{range(line, 'pressureRatio', 2)}</td>
          </tr>
        ))}
      </tbody>
    </table>
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
