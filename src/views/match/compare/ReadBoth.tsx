import { memo, type ReactNode, useLayoutEffect, useMemo, useRef } from 'react';
import {
  type MapFlow,
  type OperatingPoint,
  RESULTS,
  type ResultKey,
  type ResultUnits,
  resultsAt,
  shortTitle,
  showPoint,
  unitLabel,
} from '../../../match/index.ts';
import { useSettings } from '../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE, sheetFlowUnits } from '../../../units/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import { placeRemark } from '../../shared/pointTable.ts';
import { isEstimated } from '../../shared/provenance.ts';
import { EstimateTag, LineSign } from '../results/CandidateStrip.tsx';
import type { ComparedMap } from './ComparedMaps.tsx';
import styles from './compare.module.css';

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

export interface BothColumn {
  key: ResultKey;
  title: string;
  /** '' for a plain number. */
  unit: string;
  /** Left out where there is little room. */
  isMinor: boolean;
  text: (point: OperatingPoint | null) => string;
}

const MINOR: ReadonlySet<ResultKey> = new Set([
  'correctedMassFlowKgPerS',
  'compressorOutletTemperatureK',
  'manifoldTemperatureK',
]);

/**
 * What is read of both candidates at one engine speed, in the user's units; corrected flow at the common reference state. What belongs to
 * the turbine is there where one of the two has one.
 * @param mapFlow null: no map, and no corrected flow
 */
export function bothColumns(units: ResultUnits, mapFlow: MapFlow | null, hasTurbine: boolean): readonly BothColumn[] {
  return resultsAt('comparedReadOut', { turbine: hasTurbine }).flatMap((key) => {
    const isFlow = key === 'correctedMassFlowKgPerS';
    if (isFlow && mapFlow === null) return [];
    const options = { withUnit: false, ...(mapFlow !== null && { mapFlow }) };
    return {
      key,
      title: shortTitle(key),
      unit: isFlow && mapFlow !== null ? sheetFlowUnits[mapFlow.unit].label : unitLabel(RESULTS[key].shown, units),
      isMinor: MINOR.has(key),
      text: (point: OperatingPoint | null) => showPoint(key, point?.status === 'ok' ? point : null, units, options),
    };
  });
}

/** The texts of one candidate, by column; and what must be known about the point. */
export function bothTexts(
  point: OperatingPoint | null,
  columns: readonly BothColumn[],
): { cells: Readonly<Record<string, string>>; remark: string } {
  const remark = point === null ? '' : point.status === 'ok' ? placeRemark(point) : point.message;
  return { cells: Object.fromEntries(columns.map(({ key, text }) => [key, text(point)])), remark };
}
