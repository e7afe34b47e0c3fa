import { useState } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import type { SheetPlace } from '../../../compressor/index.ts';
import { type PicturePlace, sensibleDecimals } from '../../../reading/index.ts';
import { capital } from '../../../units/index.ts';
import { Button, Icon, Tabs } from '../../../widgets/index.ts';
import type { Desk, DeskActions } from '../desk.ts';
import { useMapEdit } from '../desk.ts';
import { MapDesk } from '../MapDesk.tsx';
import { viewOf } from '../sheetKinds/kinds.ts';
import type { SheetFit } from '../sheetKinds/sheetKind.ts';
import { flowUnitLabel } from '../sheetKinds/sheetKind.ts';
import { AxesPanel, type AxisClicks, useAxisClicks } from './AxesPanel.tsx';
import { readAxes, tracingOf } from './axes.ts';
import { CheckPanel, TurbineCheckPanel } from './CheckPanel.tsx';
import { CompletePanel, ReadingsPanel } from './CompletePanel.tsx';
import { PicturePanel, useTaking } from './PicturePanel.tsx';
import { usePicture } from './picture/usePicture.ts';
import { useQuality } from './QualityPanel.tsx';
import { PictureStage } from './stage/PictureStage.tsx';
import type { StageEvents } from './stage/stageView.ts';
import { useStageMarks } from './stageMarks.ts';
import { ProposalBar, TraceTools } from './TraceTools.tsx';
import styles from './trace.module.css';
import { placedRows, pointId, pointOfId, sameTarget, targetOfPlace } from './tracePoints.ts';
import { type Tracing, useTracing } from './useTracing.ts';

interface TraceViewProps {
  draft: MapDraft;
  fit: SheetFit;
  desk: Desk;
  actions: DeskActions;
  onClose: () => void;
}

/** Tracing the open map from a picture of its sheet, step by step; each step can be gone back to at any time. */
export function TraceView({ draft, fit, desk, actions, onClose }: TraceViewProps) {
  const edit = useMapEdit(draft.id);
  const { picture, look } = tracingOf(draft);
  const axes = readAxes(draft);
  const [step, setStep] = useState<TraceStep>(() => firstStep(draft));
  const taking = useTaking(edit);
  const { levels, pixels, problem } = usePicture(picture);
  const trace = useTracing({ draft, edit, desk, actions, pixels });
  const axisClicks = useAxisClicks(draft, edit);
  const [withLens, setLens] = useState(true);
  const [withFitted, setFitted] = useState(true);
  const [withGrid, setGrid] = useState(true);
  const [pointed, setPointed] = useState<PicturePlace | null>(null);
  const [goTo, setGoTo] = useState<{ place: PicturePlace } | null>(null);
  const quality = useQuality(step === 'check' && fit.kind === 'compressor' ? fit.sheet : null);
  const shows = { fitted: withFitted, grid: withGrid };
  const { points, lines } = useStageMarks({ draft, fit, step, trace, card: quality.card, shows });
  const showPlace = (place: SheetPlace) => {
    const at = targetOfPlace(place);
    if (at === null) {
      actions.show({ place, code: '' });
      return setStep('trace');
    }
    trace.choose(at.target);
    const placed = placedRows(draft, at.target);
    const here = placed.find(({ row }) => row === at.row) ?? placed[placed.length >> 1];
    if (here !== undefined) setGoTo({ place: here.place });
    if (at.row !== undefined) trace.select(pointId(at.target, at.row));
  };
  const panel = () => {
    switch (step) {
      case 'picture':
        return <PicturePanel draft={draft} edit={edit} taking={taking} />;
      case 'axes':
        return (
          <AxesPanel
            draft={draft}
            edit={edit}
            clicks={axisClicks}
            grid={{ isShown: withGrid, show: setGrid }}
            onReference={() => showPlace({ part: 'reference' })}
          />
        );
      case 'trace':
        return <ReadingsPanel draft={draft} edit={edit} />;
      case 'complete':
        return <CompletePanel draft={draft} edit={edit} />;
      case 'check':
        return fit.kind === 'turbine' ? (
          <TurbineCheckPanel draft={draft} fit={fit} onShow={showPlace} />
        ) : (
          <CheckPanel draft={draft} edit={edit} quality={quality} onShow={showPlace} />
        );
    }
  };
  // What is done has a tick; none is locked.
  const done = new Set<TraceStep>();
  if (picture !== null) done.add('picture');
  if (axes.calibration !== null) done.add('axes');
  const steps = viewOf(draft).isCompleted ? STEPS : STEPS.filter((key) => key !== 'complete');
  const isTables = step === 'trace' && trace.target?.kind !== 'readings';
  return (
    <>
      <section className={styles.side} aria-label={`Tracing of '${draft.name}'`}>
        <header className={styles.head}>
          <h2 className="ui-heading clip narrow" title={draft.name}>
            {draft.name}
          </h2>
          <Button variant="quiet" icon="cross" onPress={onClose}>
            Back to the plot
          </Button>
        </header>
        <Tabs
          label="Steps of tracing"
          stripClassName={styles.steps}
          panelClassName={isTables ? styles.tables : styles.body}
          items={steps.map((key) => ({
            key,
            name: capital(key),
            mark: done.has(key) && <Icon name="check" />,
            content:
              key === step &&
              (isTables ? (
                <MapDesk
                  draft={draft}
                  findings={fit.findings}
                  desk={desk}
                  actions={actions}
                  onPreview={() => undefined}
                />
              ) : (
                panel()
              )),
          }))}
          selected={step}
          onSelect={setStep}
        />
      </section>
      <section className="pane column relative" aria-label={`Picture of '${draft.name}'`}>
        <TraceTools
          draft={draft}
          edit={edit}
          step={step}
          tracing={trace}
          lens={{ isOn: withLens, set: setLens }}
          fitted={{ isOn: withFitted, set: setFitted }}
        />
        {levels === null ? (
          <div className={styles.empty}>
            <p>
              {problem ??
                (picture === null ? 'Drop a picture of the sheet here, or paste it.' : 'Opening the picture …')}
            </p>
          </div>
        ) : (
          <PictureStage
            label={`Picture of the sheet of ${draft.name}`}
            picture={levels}
            look={look}
            points={points}
            lines={lines}
            selected={selectedOf(step, trace, axisClicks)}
            goTo={goTo}
            events={eventsOf(step, trace, axisClicks)}
            withLens={withLens}
            onPointed={setPointed}
          />
        )}
        <ProposalBar tracing={trace} />
        <div className={styles.strip}>
          <p role="status">{step === 'trace' ? trace.status : ''}</p>
          <p className="rigid ui-ink">{readout(draft, pointed)}</p>
        </div>
      </section>
    </>
  );
}

function firstStep(draft: MapDraft): TraceStep {
  const tracing = tracingOf(draft);
  if (tracing.picture === null) return 'picture';
  return readAxes(draft).calibration === null ? 'axes' : 'trace';
}

/** A chosen point stays chosen only while its own line is traced. */
function selectedOf(step: TraceStep, { selected, target }: Tracing, axisClicks: AxisClicks): string | null {
  if (step === 'axes') return String(axisClicks.active);
  const point = selected === null ? null : pointOfId(selected);
  return point !== null && sameTarget(point.target, target) ? selected : null;
}

/** What the picture answers to in each step. */
function eventsOf(step: TraceStep, { events, isFollowing }: Tracing, axisClicks: AxisClicks): StageEvents {
  if (step === 'picture') return {};
  if (step === 'axes') return axisClicks.events;
  if (step === 'trace') return isFollowing ? { ...events, onPlace: events.onFollow } : events;
  // Nothing is traced here, but points can be chosen.
  const { onSelect, onStep, onDismiss } = events;
  return { onSelect, onStep, onDismiss };
}

/** What is under the pointer, in the sheet's numbers. */
function readout(draft: MapDraft, place: PicturePlace | null): string {
  const { calibration } = readAxes(draft);
  if (place === null) return '';
  const pixel = `${place.x.toFixed(1)}, ${place.y.toFixed(1)} px`;
  const data = calibration?.toData(place) ?? null;
  if (calibration === null || data === null) return pixel;
  const decimals = sensibleDecimals(calibration, place);
  const flow = `${data.flow.toFixed(decimals.flow)} ${flowUnitLabel(draft)}`;
  return `${flow}, ${viewOf(draft).ratioShort} ${data.pressureRatio.toFixed(decimals.ratio)} · ${pixel}`;
}

const STEPS = ['picture', 'axes', 'trace', 'complete', 'check'] as const;
export type TraceStep = (typeof STEPS)[number];
