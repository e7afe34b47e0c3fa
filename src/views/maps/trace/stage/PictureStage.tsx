import { useEffect, useRef, useState } from 'react';
import type { PictureLook } from '../../../../build/index.ts';
import type { PicturePlace } from '../../../../compressor/reading/index.ts';
import { IconButton } from '../../../../widgets/index.ts';
import { centredOn, toStage, zoomedAt } from '../model/stageView.ts';
import type { PictureLevels } from '../picture/pictureLevels.ts';
import { Lens } from './Lens.tsx';
import { PictureCanvas } from './PictureCanvas.tsx';
import { StageMarks } from './StageMarks.tsx';
import styles from './stage.module.css';
import type { StageEvents, StageLine, StagePoint } from './stageTypes.ts';
import { usePointerOnStage } from './usePointerOnStage.ts';
import { useStageKeys } from './useStageKeys.ts';
import { useStageView } from './useStageView.ts';

export interface PictureStageProps {
  label: string;
  picture: PictureLevels;
  look: PictureLook;
  points: readonly StagePoint[];
  lines: readonly StageLine[];
  selected: string | null;
  /** A place to bring into sight; another object each time. */
  goTo: { place: PicturePlace } | null;
  events: StageEvents;
  withLens: boolean;
  /** For the read-out: the place under the pointer or the keyboard's cross. */
  onPointed: (place: PicturePlace | null) => void;
}

const KEYS =
  'Arrow keys move the chosen point or the cross by one pixel, Shift ten, Alt a tenth. Enter places a point, F follows the line, Page Up and Down choose a point, Insert puts one between, Delete takes it away, plus, minus and zero zoom, Escape lets go.';

/** The picture of a sheet with what is traced on it: pointer and keyboard do the same. Knows nothing of maps. */
export function PictureStage(props: PictureStageProps) {
  const { picture, look, points, events, selected, onPointed } = props;
  const stage = useRef<HTMLDivElement>(null);
  const turn = ((look.quarterTurns * 90 + look.turnDeg) * Math.PI) / 180;
  const { size, view, setView, seeWhole } = useStageView(stage, picture, turn);
  const [pointer, setPointer] = useState<PicturePlace | null>(null);
  const [cursor, setCursor] = useState<PicturePlace | null>(null);
  const show = (place: PicturePlace | null) => {
    setPointer(place);
    if (place !== null) setCursor(null);
    onPointed(place);
  };
  const { isPanning, handlers } = usePointerOnStage({
    stage,
    view,
    size,
    picture,
    points,
    events,
    setView,
    onPointer: show,
  });
  const { goTo } = props;
  useEffect(() => {
    if (goTo !== null) setView((old) => old && centredOn(old, picture, goTo.place, 1.5));
  }, [goTo, picture, setView]);
  const chosen = points.find((point) => point.id === selected) ?? null;
  const act = useStageKeys({
    stage,
    view: view && size ? { view, size } : null,
    picture,
    chosen,
    cross: cursor ?? pointer,
    events,
    setView,
    seeWhole,
    onCross: (place) => {
      setCursor(place);
      if (place !== null) onPointed(place);
    },
  });
  const lensAt = cursor ?? pointer;
  const zoomMiddle = (factor: number) => {
    if (size === null) return;
    const middle = { left: size.width / 2, top: size.height / 2 };
    setView((old) => old && zoomedAt(old, picture, size, middle, factor));
  };
  return (
    // An application: it is drawn on, and its own keys move what is drawn.
    <div
      ref={stage}
      className={styles.stage}
      role="application"
      aria-roledescription="picture of the sheet"
      aria-label={`${props.label}. ${KEYS}`}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: it is operated with the keyboard
      tabIndex={0}
      data-panning={isPanning || undefined}
      data-quiet={events.onPlace === undefined || undefined}
      onKeyDown={act}
      {...handlers}
    >
      {view !== null && size !== null && (
        <>
          <PictureCanvas picture={picture} view={view} size={size} look={look} />
          <StageMarks lines={props.lines} points={points} selected={selected} view={view} size={size} />
          {cursor !== null && chosen === null && <Cross at={toStage(view, size, cursor)} />}
          {props.withLens && lensAt !== null && !isPanning && events.onPlace !== undefined && (
            <Lens picture={picture} view={view} size={size} place={lensAt} />
          )}
        </>
      )}
      <div className={styles.zoomTools}>
        <IconButton icon="plus" label="Nearer" onPress={() => zoomMiddle(1.5)} />
        <IconButton icon="minus" label="Farther" onPress={() => zoomMiddle(1 / 1.5)} />
        <IconButton icon="whole" label="The whole picture" onPress={seeWhole} />
      </div>
      <div className={styles.spoken} role="status">
        {chosen?.name ?? ''}
      </div>
    </div>
  );
}

function Cross({ at }: { at: { left: number; top: number } }) {
  return (
    <svg className={styles.cursor} style={at} viewBox="0 0 21 21" aria-hidden="true">
      <path d="M10.5 0v8M10.500 13v8M0 10.5h8M13 10.500h8" />
    </svg>
  );
}
