import { isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import type { SheetPlace } from '../../../compressor/index.ts';
import { Button } from '../../../widgets/index.ts';
import { MapDesk } from '../MapDesk.tsx';
import type { SheetFit } from '../model/sheetFit.ts';
import type { Desk, DeskActions } from '../useDesk.ts';
import type { MapEdit } from '../useMapEdit.ts';
import { readAxes } from './model/axes.ts';
import { tracingOf } from './model/tracing.ts';
import { AxesPanel } from './panels/AxesPanel.tsx';
import { CheckPanel } from './panels/CheckPanel.tsx';
import { CompletePanel } from './panels/CompletePanel.tsx';
import { PicturePanel } from './panels/PicturePanel.tsx';
import { ReadingsPanel } from './panels/ReadingsPanel.tsx';
import { StepTabs, type TraceStep } from './panels/StepTabs.tsx';
import { TurbineCheckPanel } from './panels/TurbineCheckPanel.tsx';
import styles from './trace.module.css';
import type { AxisClicks } from './useAxisClicks.ts';
import type { Quality } from './useQuality.ts';
import type { Taking } from './useTaking.ts';
import type { Tracing } from './useTracing.ts';

export interface TraceSideProps {
  draft: MapDraft;
  fit: SheetFit;
  desk: Desk;
  actions: DeskActions;
  edit: MapEdit;
  step: TraceStep;
  onStep: (step: TraceStep) => void;
  taking: Taking;
  trace: Tracing;
  axisClicks: AxisClicks;
  grid: { isShown: boolean; show: (isShown: boolean) => void };
  quality: Quality;
  onShow: (place: SheetPlace) => void;
  onClose: () => void;
}

/** The steps of tracing and, under them, the fields and tables of the one that is open. */
export function TraceSide(props: TraceSideProps) {
  const { draft, fit, step, onStep, trace, desk, actions } = props;
  const { picture } = tracingOf(draft);
  const { calibration } = readAxes(draft);
  return (
    <section className={styles.side} aria-label={`Tracing of '${draft.name}'`}>
      <header className={styles.head}>
        <h2 title={draft.name}>{draft.name}</h2>
        <Button variant="quiet" icon="cross" onPress={props.onClose}>
          Back to the plot
        </Button>
      </header>
      <StepTabs
        step={step}
        onStep={onStep}
        done={{ picture: picture !== null, axes: calibration !== null }}
        isTurbine={isTurbineSheet(draft)}
      />
      {step === 'trace' && trace.target?.kind !== 'readings' ? (
        <div className={styles.tables}>
          <MapDesk draft={draft} findings={fit.findings} desk={desk} actions={actions} onPreview={() => undefined} />
        </div>
      ) : (
        <div className={styles.body} key={step}>
          <StepPanel {...props} />
        </div>
      )}
    </section>
  );
}

function StepPanel(props: TraceSideProps) {
  const { draft, edit, axisClicks, fit } = props;
  switch (props.step) {
    case 'picture':
      return <PicturePanel draft={draft} edit={edit} taking={props.taking} />;
    case 'axes':
      return (
        <AxesPanel
          draft={draft}
          edit={edit}
          axes={readAxes(draft)}
          active={axisClicks.active}
          onActive={axisClicks.setActive}
          goTo={axisClicks.goTo}
          onArrived={axisClicks.arrived}
          grid={props.grid}
          onReference={() => {
            props.actions.show({ place: { part: 'reference' }, code: '' });
            props.onStep('trace');
          }}
        />
      );
    case 'trace':
      return <ReadingsPanel draft={draft} edit={edit} />;
    case 'complete':
      return <CompletePanel draft={draft} edit={edit} />;
    case 'check':
      return fit.kind === 'turbine' ? (
        <TurbineCheckPanel draft={draft} fit={fit} onShow={props.onShow} />
      ) : (
        <CheckPanel draft={draft} edit={edit} quality={props.quality} onShow={props.onShow} />
      );
  }
}
