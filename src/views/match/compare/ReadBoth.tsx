import { memo, type ReactNode, useLayoutEffect, useMemo, useRef } from 'react';
import { useSettings } from '../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../units/index.ts';
import { isEstimated } from '../../shared/estimateWords.ts';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import { EstimateTag } from '../results/EstimateTag.tsx';
import { LineSign } from '../results/LineSign.tsx';
import styles from './compare.module.css';
import { type BothColumn, bothColumns, bothTexts } from './model/bothColumns.ts';
import type { ComparedMap } from './useComparedMaps.ts';

interface Props {
  first: ComparedMap;
  second: ComparedMap;
  engineSpeedRpm: number | null;
  children: ReactNode;
}

/**
 * Both candidates at one engine speed, one under the other. The numbers are written straight into the page: they change with every step
 * of every input, and the table around them does not.
 */
export function ReadBoth({ first, second, engineSpeedRpm, children }: Props) {
  const units = useResultUnits();
  const { flowAxisUnit } = useSettings();
  const reference = (first.results.surface ?? second.results.surface)?.reference ?? null;
  const hasTurbine = [first, second].some(({ results }) => results.input?.turbine !== undefined);
  const columns = useMemo(
    () => bothColumns(units, reference === null ? null : { unit: flowAxisUnit, reference }, hasTurbine),
    [units, flowAxisUnit, reference, hasTurbine],
  );
  const box = useRef<HTMLElement>(null);
  useLayoutEffect(() => {
    write(box.current, 'heading', engineSpeedRpm === null ? 'Choose an engine speed' : `At ${rpm(engineSpeedRpm)}`);
    const remarks: string[] = [];
    for (const side of [first, second]) {
      const { cells, remark } = bothTexts(side.point, columns);
      for (const { key } of columns) write(box.current, `${side.style}-${key}`, cells[key] ?? '');
      if (remark !== '') remarks.push(`${side.letter}: ${remark}`);
    }
    write(box.current, 'remarks', remarks.join('. '));
    write(box.current, 'hint', remarks.length === 0 ? 'Point at a line or move the slider' : '');
  });
  return (
    <section ref={box} className={styles.read} aria-label="Both at one engine speed">
      <div className={styles.readHeading}>
        <span data-part="heading" className={styles.at} />
        <span className={styles.note}>
          <span data-part="remarks" className={styles.remarks} />
          <span data-part="hint" className={styles.hint} />
        </span>
        {children}
      </div>
      <BothTable
        columns={columns}
        letters={`${first.letter}${second.letter}`}
        isEstimateA={isEstimated(first.results.candidate)}
        isEstimateB={isEstimated(second.results.candidate)}
      />
    </section>
  );
}

interface TableProps {
  columns: readonly BothColumn[];
  /** 'AB' */
  letters: string;
  isEstimateA: boolean;
  isEstimateB: boolean;
}

const BothTable = memo(function BothTable({ columns, letters, isEstimateA, isEstimateB }: TableProps) {
  return (
    <table
      className={styles.both}
      data-estimate={isEstimateA || isEstimateB || undefined}
      aria-label="Both candidates at this engine speed"
    >
      <thead>
        <tr>
          <th scope="col">
            <span className={styles.hidden}>Candidate</span>
          </th>
          {columns.map(({ key, title, unit, isMinor }) => (
            <th key={key} scope="col" data-minor={isMinor || undefined}>
              {title}
              {unit !== '' && <span>, {unit}</span>}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {(['a', 'b'] as const).map((style, at) => (
          <tr key={style}>
            <th scope="row">
              <LineSign style={style} /> {letters[at]} {(style === 'a' ? isEstimateA : isEstimateB) && <EstimateTag />}
            </th>
            {columns.map(({ key, isMinor }) => (
              <td key={key} data-part={`${style}-${key}`} data-minor={isMinor || undefined} />
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
});

function write(box: HTMLElement | null, part: string, text: string): void {
  const element = box?.querySelector(`[data-part="${part}"]`);
  if (element && element.textContent !== text) element.textContent = text;
}

function rpm(engineSpeedRpm: number): string {
  return `${formatNumber(engineSpeedRpm, 0)}${NO_BREAK_SPACE}rpm`;
}
