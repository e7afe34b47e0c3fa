import { useState } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import { capital, writableText } from '../../../units/index.ts';
import { Button } from '../../../widgets/index.ts';
import { ToolSelect } from '../../shared/ToolBar.tsx';
import type { MapEdit } from '../desk.ts';
import { addIsland, addLine, setLineSpeed, withIsland } from '../editDraft.ts';
import { viewOf } from '../sheetKinds/kinds.ts';
import { flowUnitLabel, speedUnitLabel } from '../sheetKinds/sheetKind.ts';
import type { TraceStep } from './TraceView.tsx';
import styles from './trace.module.css';
import { allTargets, type Target, targetName } from './tracePoints.ts';
import type { Tracing } from './useTracing.ts';

const keyOf = (target: Target | null): string => JSON.stringify(target);

interface TargetProps {
  draft: MapDraft;
  edit: MapEdit;
  tracing: Tracing;
}

interface Switch {
  isOn: boolean;
  set: (on: boolean) => void;
}

/** What is traced, its value, and how: the bar over the picture. It stands in every step, so that the picture does not move. */
export function TraceTools(props: TargetProps & { step: TraceStep; lens: Switch; fitted: Switch }) {
  const { step, tracing, lens, fitted } = props;
  const isTracing = step === 'trace';
  const isPlacing = isTracing || step === 'axes';
  return (
    <div className={styles.tools} {...(step !== 'picture' && { role: 'toolbar', 'aria-label': 'Tracing' })}>
      {isTracing && <TargetChoice {...props} />}
      <span className="grow" />
      {isTracing && (
        <>
          <Toggle
            name="Snap"
            isOn={tracing.isSnapping}
            set={tracing.setSnapping}
            title="Points go to the middle of the line that is clicked on"
          />
          <Toggle
            name="Follow"
            isOn={tracing.isFollowing}
            set={tracing.setFollowing}
            title="The next click proposes points along the whole line (also Alt with a click, or F)"
          />
        </>
      )}
      {isPlacing && <Toggle name="Magnifier" {...lens} title="The pixels under the pointer" />}
      {step !== 'picture' && step !== 'axes' && (
        <Toggle name="As fitted" {...fitted} title="Lines and islands as the map uses them" />
      )}
    </div>
  );
}

function TargetChoice({ draft, edit, tracing }: TargetProps) {
  const { target } = tracing;
  const { line, hasIslands } = viewOf(draft);
  const options = [
    ...(target === null ? [{ key: 'null', name: 'choose what to trace' }] : []),
    ...allTargets(draft).map((t) => ({ key: keyOf(t), name: capital(targetName(draft, t)) })),
    { key: 'new-line', name: `Another ${line}` },
    ...(hasIslands ? [{ key: 'new-island', name: 'Another island' }] : []),
  ];
  /** The next line is waiting for its value: the keyboard goes there. */
  const [isNext, setNext] = useState(false);
  const choose = (key: string) => {
    setNext(key.startsWith('new-'));
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
      {target !== null && (
        <ValueField key={keyOf(target)} draft={draft} edit={edit} tracing={tracing} target={target} isNext={isNext} />
      )}
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

/** The value of what is traced: the speed of a line, the efficiency of an island or of the next reading. */
function ValueField({ draft, edit, tracing, target, isNext }: TargetProps & { target: Target; isNext: boolean }) {
  if (target.kind === 'speed-line') {
    const { line } = target;
    return (
      <Value
        label="Speed"
        unit={speedUnitLabel(draft)}
        isFocused={isNext}
        placeholder={viewOf(draft).mayLackSpeed ? 'none' : undefined}
        text={draft.speedLines[line]?.speed ?? ''}
        onChange={(speed) => edit((d) => setLineSpeed(d, line, speed), 'edit speed', `speed.${line}`)}
      />
    );
  }
  const unit = draft.efficiencyUnit === '%' ? '%' : '0 to 1';
  if (target.kind === 'island') {
    const { island } = target;
    const set = (efficiency: string) =>
      edit(
        (d) => withIsland(d, island, (old) => ({ ...old, efficiency })),
        'edit island',
        `island.${island}.efficiency`,
      );
    return (
      <Value
        label="Efficiency"
        unit={unit}
        isFocused={isNext}
        text={draft.islands[island]?.efficiency ?? ''}
        onChange={set}
      />
    );
  }
  if (target.kind === 'readings')
    return (
      <Value label="Efficiency of the next" unit={unit} text={tracing.efficiency} onChange={tracing.setEfficiency} />
    );
  return <span className="soft small">{flowUnitLabel(draft)} and pressure ratio</span>;
}

function Value(props: {
  label: string;
  unit: string;
  text: string;
  placeholder?: string | undefined;
  isFocused?: boolean;
  onChange: (text: string) => void;
}) {
  return (
    <label className={styles.value}>
      {props.label}
      <input
        value={props.text}
        placeholder={props.placeholder}
        inputMode="decimal"
        // biome-ignore lint/a11y/noAutofocus: 'Next' asks for this very value
        autoFocus={props.isFocused ?? false}
        autoComplete="off"
        onChange={(event) => props.onChange(writableText(event.target.value))}
      />
      {props.unit}
    </label>
  );
}

function Toggle({ name, isOn, set, title }: Switch & { name: string; title: string }) {
  return (
    <button type="button" className={styles.toggle} aria-pressed={isOn} title={title} onClick={() => set(!isOn)}>
      {name}
    </button>
  );
}
