import { isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import { Button } from '../../../widgets/index.ts';
import { ToolSelect } from '../../shared/ToolBar.tsx';
import { addIsland, addLine, setLineSpeed, withIsland } from '../model/editDraft.ts';
import { flowUnitLabel, sheetWords, speedUnitLabel } from '../model/sheetWords.ts';
import type { MapEdit } from '../useMapEdit.ts';
import type { TraceStep } from './TraceView.tsx';
import styles from './trace.module.css';
import { allTargets, type Target, targetName } from './tracePoints.ts';
import type { Tracing } from './useTracing.ts';

const keyOf = (target: Target | null): string => JSON.stringify(target);

export interface TraceToolsProps {
  draft: MapDraft;
  edit: MapEdit;
  step: TraceStep;
  tracing: Tracing;
  lens: { isOn: boolean; set: (on: boolean) => void };
  fitted: { isOn: boolean; set: (on: boolean) => void };
}

/** What is traced, its value, and how: the bar over the picture. It stands in every step, so that the picture does not move. */
export function TraceTools({ draft, edit, step, tracing, lens, fitted }: TraceToolsProps) {
  const isTracing = step === 'trace';
  const isPlacing = isTracing || step === 'axes';
  return (
    <div className={styles.tools} {...(step !== 'picture' && { role: 'toolbar', 'aria-label': 'Tracing' })}>
      {isTracing && <TargetChoice draft={draft} edit={edit} tracing={tracing} />}
      <span className={styles.gap} />
      {isTracing && (
        <>
          <Toggle
            name="Snap"
            isOn={tracing.isSnapping}
            onChange={tracing.setSnapping}
            title="Points go to the middle of the line that is clicked on"
          />
          <Toggle
            name="Follow"
            isOn={tracing.isFollowing}
            onChange={tracing.setFollowing}
            title="The next click proposes points along the whole line (also Alt with a click, or F)"
          />
        </>
      )}
      {isPlacing && (
        <Toggle name="Magnifier" isOn={lens.isOn} onChange={lens.set} title="The pixels under the pointer" />
      )}
      {step !== 'picture' && step !== 'axes' && (
        <Toggle
          name="As fitted"
          isOn={fitted.isOn}
          onChange={fitted.set}
          title="Lines and islands as the map uses them"
        />
      )}
    </div>
  );
}

function TargetChoice({ draft, edit, tracing }: Pick<TraceToolsProps, 'draft' | 'edit' | 'tracing'>) {
  const { target } = tracing;
  const { line } = sheetWords(draft);
  const options = [
    ...(target === null ? [{ key: 'null', name: 'choose what to trace' }] : []),
    ...allTargets(draft).map((t) => ({ key: keyOf(t), name: capital(targetName(draft, t)) })),
    { key: 'new-line', name: `Another ${line}` },
    ...(isTurbineSheet(draft) ? [] : [{ key: 'new-island', name: 'Another island' }]),
  ];
  const choose = (key: string) => {
    if (key === 'new-line') {
      edit(addLine, `add ${line}`, 'lines');
      tracing.choose({ kind: 'speed-line', line: draft.speedLines.length });
    } else if (key === 'new-island') {
      edit(addIsland, 'add island', 'islands');
      tracing.choose({ kind: 'island', island: draft.islands.length });
    } else if (key !== 'null') tracing.choose(JSON.parse(key) as Target);
  };
  return (
    <>
      <ToolSelect name="What is traced" value={keyOf(target)} options={options} onChange={choose} />
      {target !== null && <ValueField draft={draft} edit={edit} tracing={tracing} target={target} />}
      {(target?.kind === 'speed-line' || target?.kind === 'island') && (
        <Button onPress={() => choose(target.kind === 'speed-line' ? 'new-line' : 'new-island')}>Next</Button>
      )}
    </>
  );
}

/** A followed line waits for a yes, over the picture's corner. */
export function ProposalBar({ tracing }: { tracing: Tracing }) {
  if (tracing.proposal === null) return null;
  return (
    <fieldset className={styles.proposal} aria-label="Followed line">
      <Button variant="primary" onPress={() => tracing.events.onAccept()}>
        Take {tracing.proposal.places.length} points
      </Button>
      <Button onPress={tracing.dismiss}>Leave them</Button>
    </fieldset>
  );
}

function ValueField({
  draft,
  edit,
  tracing,
  target,
}: Pick<TraceToolsProps, 'draft' | 'edit' | 'tracing'> & { target: Target }) {
  switch (target.kind) {
    case 'speed-line':
      return (
        <Value
          label="Speed"
          unit={speedUnitLabel(draft)}
          placeholder={isTurbineSheet(draft) ? 'none' : undefined}
          text={draft.speedLines[target.line]?.speed ?? ''}
          onChange={(speed) => edit((d) => setLineSpeed(d, target.line, speed), 'edit speed', `speed.${target.line}`)}
        />
      );
    case 'island':
      return (
        <Value
          label="Efficiency"
          unit={draft.efficiencyUnit === '%' ? '%' : '0 to 1'}
          text={draft.islands[target.island]?.efficiency ?? ''}
          onChange={(efficiency) =>
            edit(
              (d) => withIsland(d, target.island, (old) => ({ ...old, efficiency })),
              'edit island',
              `island.${target.island}.efficiency`,
            )
          }
        />
      );
    case 'readings':
      return (
        <Value
          label="Efficiency of the next"
          unit={draft.efficiencyUnit === '%' ? '%' : '0 to 1'}
          text={tracing.efficiency}
          onChange={tracing.setEfficiency}
        />
      );
    default:
      return <span className={styles.toolsNote}>{flowUnitLabel(draft)} and pressure ratio</span>;
  }
}

interface ValueProps {
  label: string;
  unit: string;
  text: string;
  placeholder?: string | undefined;
  onChange: (text: string) => void;
}

function Value(props: ValueProps) {
  return (
    <label className={styles.value}>
      {props.label}
      <input
        value={props.text}
        placeholder={props.placeholder}
        inputMode="decimal"
        autoComplete="off"
        onChange={(event) => props.onChange(event.target.value)}
      />
      {props.unit}
    </label>
  );
}

function Toggle(props: { name: string; isOn: boolean; onChange: (on: boolean) => void; title: string }) {
  return (
    <button
      type="button"
      className={styles.toggle}
      aria-pressed={props.isOn}
      title={props.title}
      onClick={() => props.onChange(!props.isOn)}
    >
      {props.name}
    </button>
  );
}

/** The first letter as a capital. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
