import { useDeferredValue, useMemo, useState } from 'react';
import type { DraftFit, MapDraft, PicturePlace } from '../../../build/index.ts';
import { sheetFlowUnits } from '../../../units/index.ts';
import { Button } from '../../../widgets/index.ts';
import { MapDesk } from '../MapDesk.tsx';
import type { Desk, DeskActions } from '../useDesk.ts';
import { useMapEdit } from '../useMapEdit.ts';
import { axisPlace, pointName, readAxes, sensibleDecimals } from './model/axes.ts';
import { gridLines, traceLines, tracePoints } from './model/traceLines.ts';
import { tracingOf } from './model/tracePoints.ts';
import { AxesPanel } from './panels/AxesPanel.tsx';
import { PicturePanel } from './panels/PicturePanel.tsx';
import { ReadingsPanel } from './panels/ReadingsPanel.tsx';
import { StepTabs, type TraceStep } from './panels/StepTabs.tsx';
import { TraceTools } from './panels/TraceTools.tsx';
import { usePicture } from './picture/usePicture.ts';
import { PictureStage } from './stage/PictureStage.tsx';
import type { StageEvents, StageLine, StagePoint } from './stage/stageTypes.ts';
import styles from './trace.module.css';
import { useAxisClicks } from './useAxisClicks.ts';
import { useTaking } from './useTaking.ts';
import { useTracing } from './useTracing.ts';

export interface TraceViewProps {
  draft: MapDraft;
  fit: DraftFit;
  desk: Desk;
  actions: DeskActions;
  onClose: () => void;
}

const NO_EVENTS: StageEvents = {};

/** Tracing the open map from a picture of its sheet, step by step; each step can be gone back to at any time. */
export function TraceView({ draft, fit, desk, actions, onClose }: TraceViewProps) {
  const edit = useMapEdit(draft.id);
  const tracing = tracingOf(draft);
  const axes = readAxes(tracing);
  const [step, setStep] = useState<TraceStep>(() =>
    tracing.picture === null ? 'picture' : axes.calibration === null ? 'axes' : 'trace',
  );
  const taking = useTaking(edit);
  const { levels, pixels, problem } = usePicture(tracing.picture);
  const trace = useTracing({ draft, edit, desk, actions, pixels });
  const axisClicks = useAxisClicks(draft, edit);
  const [isLens, setLens] = useState(true);
  const [isFitted, setFitted] = useState(true);
  const [isGrid, setGrid] = useState(true);
  const [pointed, setPointed] = useState<PicturePlace | null>(null);
  const shown = useDeferredValue(draft);
  const points = useMemo(
    () => [
      ...(step === 'axes' ? axisPoints(draft) : []),
      ...(step === 'trace' || step === 'check' ? tracePoints(draft, trace.target, NONE) : []),
      ...(trace.proposal?.places ?? []).map(
        (place, i): StagePoint => ({ id: `proposed ${i}`, place, look: 'proposed', name: 'Proposed point' }),
      ),
    ],
    [draft, step, trace.target, trace.proposal],
  );
  const lines = useMemo((): StageLine[] => {
    if (axes.calibration === null) return [];
    if (step === 'axes') return isGrid ? gridLines(draft, axes.calibration) : [];
    if (step === 'picture') return [];
    const proposed: StageLine[] =
      trace.proposal === null ? [] : [{ id: 'proposal', places: trace.proposal.places, look: 'proposed' }];
    return [...traceLines(shown, fit, axes.calibration, { current: trace.target, withFit: isFitted }), ...proposed];
  }, [axes.calibration, step, isGrid, draft, shown, fit, trace.target, trace.proposal, isFitted]);
  const events =
    step === 'axes'
      ? axisClicks.events
      : step === 'trace'
        ? followingEvents(trace.events, trace.isFollowing)
        : NO_EVENTS;
  return (
    <>
      <section className={styles.side} aria-label={`Tracing of '${draft.name}'`}>
        <header className={styles.head}>
          <h2 title={draft.name}>{draft.name}</h2>
          <Button variant="quiet" icon="cross" onPress={onClose}>
            Back to the plot
          </Button>
        </header>
        <StepTabs
          step={step}
          onStep={setStep}
          done={{ picture: tracing.picture !== null, axes: axes.calibration !== null }}
        />
        {step === 'trace' && trace.target?.kind !== 'readings' ? (
          <div className={styles.tables}>
            <MapDesk draft={draft} findings={fit.findings} desk={desk} actions={actions} onPreview={() => undefined} />
          </div>
        ) : (
          <div className={styles.body} key={step}>
            {step === 'picture' && <PicturePanel draft={draft} edit={edit} taking={taking} />}
            {step === 'axes' && (
              <AxesPanel
                draft={draft}
                edit={edit}
                axes={axes}
                active={axisClicks.active}
                onActive={axisClicks.setActive}
                goTo={axisClicks.goTo}
                onArrived={axisClicks.arrived}
                grid={{ isShown: isGrid, show: setGrid }}
                onReference={() => {
                  actions.show({ place: { part: 'reference' }, code: '' });
                  setStep('trace');
                }}
              />
            )}
            {step === 'trace' && <ReadingsPanel draft={draft} edit={edit} />}
          </div>
        )}
      </section>
      <section className={styles.right} aria-label={`Picture of '${draft.name}'`}>
        {step === 'trace' && (
          <TraceTools
            draft={draft}
            edit={edit}
            tracing={trace}
            lens={{ isOn: isLens, set: setLens }}
            fitted={{ isOn: isFitted, set: setFitted }}
          />
        )}
        {levels === null ? (
          <div className={styles.empty}>
            <p>
              {problem ??
                (tracing.picture === null ? 'Drop a picture of the sheet here, or paste it.' : 'Opening the picture …')}
            </p>
          </div>
        ) : (
          <PictureStage
            label={`Picture of the sheet of ${draft.name}`}
            picture={levels}
            look={tracing.look}
            points={points}
            lines={lines}
            selected={step === 'axes' ? String(axisClicks.active) : trace.selected}
            goTo={null}
            events={events}
            withLens={isLens}
            onPointed={setPointed}
          />
        )}
        <div className={styles.strip}>
          <p role="status">{step === 'trace' ? trace.said : ''}</p>
          <p className={styles.readout}>{readout(draft, pointed)}</p>
        </div>
      </section>
    </>
  );
}

const NONE: ReadonlySet<string> = new Set();

function axisPoints(draft: MapDraft): StagePoint[] {
  const { axes } = tracingOf(draft);
  return axes.points.flatMap((point, row): StagePoint[] => {
    const place = axisPlace(point);
    return place === null ? [] : [{ id: String(row), place, look: 'axis', name: pointName(axes, row) }];
  });
}

function followingEvents(events: StageEvents, isFollowing: boolean): StageEvents {
  return isFollowing ? { ...events, onPlace: events.onFollow } : events;
}

/** What is under the pointer, in the sheet's numbers. */
function readout(draft: MapDraft, place: PicturePlace | null): string {
  const { calibration } = readAxes(tracingOf(draft));
  if (place === null) return '';
  const pixel = `${place.x.toFixed(1)}, ${place.y.toFixed(1)} px`;
  const data = calibration?.toData(place) ?? null;
  if (calibration === null || data === null) return pixel;
  const decimals = sensibleDecimals(calibration, place);
  return `${data.flow.toFixed(decimals.flow)} ${sheetFlowUnits[draft.flowUnit].label}, PR ${data.pressureRatio.toFixed(decimals.ratio)} · ${pixel}`;
}
