import { memo, type RefObject, useMemo, useRef, useState } from 'react';
import { changeSettings, type ResultQuantity } from '../../../build/index.ts';
import {
  type CandidateResults,
  selectDayAir,
  useApply,
  useBuildField,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { unitOf } from '../../../units/index.ts';
import { Button } from '../../../widgets/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { fileName } from '../../shared/fileName.ts';
import { pointColumns } from '../../shared/pointColumns.ts';
import { pointRows } from '../../shared/pointRows.ts';
import { RESULT_UNIT_CHOICES } from '../../shared/resultUnits.ts';
import { saveFile } from '../../shared/saveFile.ts';
import { ToolSelect } from '../../shared/ToolSelect.tsx';
import { useResultUnits } from '../../shared/useResultUnits.ts';
import styles from '../match.module.css';
import { pointTableText } from '../model/pointTableText.ts';
import { EstimateTag } from './EstimateTag.tsx';
import { PointsTable } from './PointsTable.tsx';
import pointStyles from './points.module.css';

interface Props {
  results: CandidateResults;
  index: number;
  selectedRpm: number | null;
  chosenRpm: number | null;
  onSelect: (engineSpeedRpm: number) => void;
}

/** All operating points as a table, in units of choice, to copy or to save. */
export const PointsPanel = memo(function PointsPanel({ results, index, selectedRpm, chosenRpm, onSelect }: Props) {
  const units = useResultUnits();
  const checked = useBuildField('fuelSupply.checked');
  const ambientPressurePa = useLugline((state) => selectDayAir(state).air?.ambient.pressurePa ?? null);
  const { points } = results;
  const hasTurbine = results.input?.turbine !== undefined;
  const columns = useMemo(() => pointColumns({ checked }, hasTurbine), [checked, hasTurbine]);
  const isEstimate = results.surface?.estimate !== undefined;
  const rows = useMemo(
    () => pointRows(points, columns, { ambientPressurePa, isEstimate }, units),
    [points, columns, ambientPressurePa, isEstimate, units],
  );
  const text = (kind: 'tsv' | 'csv') => pointTableText(rows, columns, units, kind);
  const newest = useRef(text);
  newest.current = text;
  return (
    <section className={styles.points} aria-labelledby="points-title">
      <PointsTools
        letter={candidateLetter(index)}
        name={results.candidate.name}
        isEstimate={isEstimate}
        text={newest}
        isEmpty={rows.length === 0}
      />
      <PointsTable
        rows={rows}
        columns={columns}
        units={units}
        selectedRpm={selectedRpm}
        chosenRpm={chosenRpm}
        onSelect={onSelect}
      />
    </section>
  );
});

interface ToolsProps {
  letter: string;
  name: string;
  isEstimate: boolean;
  /** The table as text; a reference, since the numbers change with every keystroke and these tools do not. */
  text: RefObject<(kind: 'tsv' | 'csv') => string>;
  isEmpty: boolean;
}

const PointsTools = memo(function PointsTools({ letter, name, isEstimate, text, isEmpty }: ToolsProps) {
  return (
    <div className={styles.bar}>
      <h2 id="points-title" className={styles.barTitle}>
        Operating points of {letter}
      </h2>
      {isEstimate && <EstimateTag />}
      <span className={styles.spring} />
      <UnitChoices />
      <CopyButton text={() => text.current('tsv')} isDisabled={isEmpty} />
      <Button
        label="Save the table as a CSV file"
        isDisabled={isEmpty}
        // The mark tells spreadsheets that the text is UTF-8: without it °C comes out garbled.
        onPress={() =>
          saveFile(
            fileName(name, isEstimate ? 'points-estimate' : 'points', 'csv'),
            `\uFEFF${text.current('csv')}`,
            'text/csv',
          )
        }
      >
        CSV
      </Button>
    </div>
  );
});

const KINDS: readonly { kind: ResultQuantity; name: string; quantity: Parameters<typeof unitOf>[0] }[] = [
  { kind: 'pressure', name: 'Unit of pressure', quantity: 'pressure-absolute' },
  { kind: 'mass-flow', name: 'Unit of air flow', quantity: 'mass-flow' },
  { kind: 'temperature', name: 'Unit of temperature', quantity: 'temperature' },
  { kind: 'power', name: 'Unit of power', quantity: 'power' },
  { kind: 'torque', name: 'Unit of torque', quantity: 'torque' },
];

function UnitChoices() {
  const apply = useApply();
  const units = useResultUnits();
  const { resultUnits } = useSettings();
  return (
    <fieldset className={pointStyles.unitChoices} aria-label="Units of results">
      <span aria-hidden="true">Units</span>
      {KINDS.map(({ kind, name, quantity }) => (
        <ToolSelect
          key={kind}
          name={name}
          value={units[kind]}
          options={RESULT_UNIT_CHOICES[kind].map((unit) => ({ key: unit, name: unitOf(quantity, unit).label }))}
          onChange={(unit) => apply(changeSettings({ resultUnits: { ...resultUnits, [kind]: unit } }))}
        />
      ))}
    </fieldset>
  );
}

/** Says beside itself, not in a message over the page, that it has copied. Its width stays. */
function CopyButton({ text, isDisabled }: { text: () => string; isDisabled: boolean }) {
  const [said, setSaid] = useState<'idle' | 'copied' | 'refused'>('idle');
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(text());
      setSaid('copied');
    } catch {
      setSaid('refused');
    }
    setTimeout(() => setSaid('idle'), 2000);
  };
  const words = { idle: 'Copy', copied: 'Copied', refused: 'Not allowed' }[said];
  return (
    <span aria-live="polite" className={pointStyles.copy}>
      <Button
        label={said === 'idle' ? 'Copy the table for a spreadsheet' : words}
        isDisabled={isDisabled}
        onPress={copy}
      >
        {words}
      </Button>
    </span>
  );
}
