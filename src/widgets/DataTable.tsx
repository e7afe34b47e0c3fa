import { isValidElement, type ReactNode } from 'react';

interface DataRow {
  key: string | number;
  /** At its head; left out: the row has no name. */
  name?: ReactNode;
  /** A cell of its own (`<td colSpan={3}>`) stands as it is. */
  cells: readonly ReactNode[];
}

/** A table to read: titles of the columns, that of the names first, and a row for each of `rows`. */
export function DataTable(props: {
  /** For screen readers, where no heading or caption says it. */
  label?: string | undefined;
  caption?: ReactNode;
  className?: string | undefined;
  head?: readonly ReactNode[];
  rows: readonly DataRow[];
}) {
  return (
    <table className={props.className} aria-label={props.label}>
      {props.caption !== undefined && <caption>{props.caption}</caption>}
      {props.head && (
        <thead>
          <tr>
            {props.head.map((title, i) =>
              isCell(title) ? (
                title
              ) : (
                // biome-ignore lint/suspicious/noArrayIndexKey: a column is known by its place
                <th key={i} scope="col">
                  {title}
                </th>
              ),
            )}
          </tr>
        </thead>
      )}
      <tbody>
        {props.rows.map(({ key, name, cells }) => (
          <tr key={key}>
            {name !== undefined && <th scope="row">{name}</th>}
            {/* biome-ignore lint/suspicious/noArrayIndexKey: a column is known by its place */}
            {cells.map((cell, i) => (isCell(cell) ? cell : <td key={i}>{cell}</td>))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function isCell(node: ReactNode): boolean {
  return isValidElement(node) && (node.type === 'td' || node.type === 'th');
}
