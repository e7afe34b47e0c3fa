import { useState } from 'react';
import type { MapDraft } from '../../../build/index.ts';
import type { SheetPlace } from '../../../compressor/index.ts';
import type { PicturePlace } from '../../../compressor/reading/index.ts';
import type { SheetFit } from '../model/sheetFit.ts';
import { flowUnitLabel, sheetWords } from '../model/sheetWords.ts';
import type { Desk, DeskActions } from '../useDesk.ts';
import { useMapEdit } from '../useMapEdit.ts';
import { readAxes, sensibleDecimals } from './model/axes.ts';
import { sameTarget, targetOfPlace } from './model/targets.ts';
import { pointId, pointOfId } from './model/traceLines.ts';
import { placedRows } from './model/tracePoints.ts';
import { tracingOf } from './model/tracing.ts';
import type { TraceStep } from './panels/StepTabs.tsx';
import { ProposalBar, TraceTools } from './panels/TraceTools.tsx';
import { usePicture } from './picture/usePicture.ts';
import { PictureStage } from './stage/PictureStage.tsx';
import type { StageEvents } from './stage/stageTypes.ts';
import { TraceSide } from './TraceSide.tsx';
import styles from './trace.module.css';
import { type AxisClicks, useAxisClicks } from './useAxisClicks.ts';
import { useQuality } from './useQuality.ts';
import { useStageMarks } from './useStageMarks.ts';
import { useTaking } from './useTaking.ts';
import { type Tracing, useTracing } from './useTracing.ts';

export interface TraceViewProps {
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
  const side = { draft, fit, desk, actions, edit, step, taking, trace, axisClicks, quality, onClose };
  return (
    <>
      <TraceSide {...side} onStep={setStep} grid={{ isShown: withGrid, show: setGrid }} onShow={showPlace} />
      <section className={styles.right} aria-label={`Picture of '${draft.name}'`}>
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
          <p role="status">{step === 'trace' ? trace.said : ''}</p>
          <p className={styles.readout}>{readout(draft, pointed)}</p>
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

const NO_EVENTS: StageEvents = {};

/** What the picture answers to in each step. */
function eventsOf(step: TraceStep, { events, isFollowing }: Tracing, axisClicks: AxisClicks): StageEvents {
  switch (step) {
    case 'picture':
      return NO_EVENTS;
    case 'axes':
      return axisClicks.events;
    case 'trace':
      return isFollowing ? { ...events, onPlace: events.onFollow } : events;
    case 'complete':
    case 'check': {
      // Nothing is traced here, but points can be chosen.
      const { onSelect, onStep, onDismiss } = events;
      return { onSelect, onStep, onDismiss };
    }
  }
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
  return `${flow}, ${sheetWords(draft).ratioShort} ${data.pressureRatio.toFixed(decimals.ratio)} · ${pixel}`;
}
