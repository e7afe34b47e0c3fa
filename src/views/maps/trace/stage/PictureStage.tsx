import { memo, useEffect, useLayoutEffect, useRef, useState } from 'react';
import type { PictureLook } from '../../../../build/index.ts';
import type { PicturePlace } from '../../../../reading/index.ts';
import { IconButton } from '../../../../widgets/index.ts';
import { levelFor, type PictureLevels } from '../picture/usePicture.ts';
import styles from './stage.module.css';
import { stageKeys, usePointerOnStage, useStageView } from './stageControls.ts';
import {
  centredOn,
  type Size,
  type StageEvents,
  type StageLine,
  type StagePoint,
  type StageView,
  stageMatrix,
  toStage,
  zoomedAt,
} from './stageView.ts';

interface PictureStageProps {
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
  const { picture, look, points, events, selected, goTo, onPointed } = props;
  const stage = useRef<HTMLDivElement>(null);
  const turn = ((look.quarterTurns * 90 + look.turnDeg) * Math.PI) / 180;
  const { size, view, setView, seeWhole } = useStageView(stage, picture, turn);
  const [pointer, setPointer] = useState<PicturePlace | null>(null);
  const [cursor, setCursor] = useState<PicturePlace | null>(null);
  const input = { stage, view, size, picture, events, setView };
  const { isPanning, handlers } = usePointerOnStage({
    ...input,
    points,
    onPointer: (place) => {
      setPointer(place);
      if (place !== null) setCursor(null);
      onPointed(place);
    },
  });
  useEffect(() => {
    if (goTo !== null) setView((old) => old && centredOn(old, picture, goTo.place, 1.5));
  }, [goTo, picture, setView]);
  const chosen = points.find((point) => point.id === selected) ?? null;
  const lensAt = cursor ?? pointer;
  const act = stageKeys({
    ...input,
    chosen,
    cross: lensAt,
    seeWhole,
    onCross: (place) => {
      setCursor(place);
      if (place !== null) onPointed(place);
    },
  });
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

interface Lie {
  picture: PictureLevels;
  view: StageView;
  size: Size;
}

/** The picture itself. Draws the level that has a pixel for every device pixel, and single pixels as squares. */
function PictureCanvas({ picture, view, size, look }: Lie & { look: PictureLook }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const ratio = globalThis.devicePixelRatio || 1;
  useLayoutEffect(
    () => drawPicture(canvas.current, { picture, view, size }, ratio, look.fade),
    [picture, view, size, ratio, look.fade],
  );
  return (
    <canvas
      ref={canvas}
      className={styles.canvas}
      width={Math.round(size.width * ratio)}
      height={Math.round(size.height * ratio)}
      style={{ filter: look.brightness === 1 ? undefined : `brightness(${look.brightness})` }}
    />
  );
}

/** Draws the picture as it lies on the stage, on white paper that shows through where it is faded. */
function drawPicture(canvas: HTMLCanvasElement | null, { picture, view, size }: Lie, ratio: number, fade: number) {
  const context = canvas?.getContext('2d');
  if (!context) return;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.clearRect(0, 0, context.canvas.width, context.canvas.height);
  const [a, b, c, d, e, f] = stageMatrix(view, size);
  const level = picture.levels[levelFor(picture.levels, view.scale * ratio)];
  // A closed bitmap has no size: its picture was taken away in this very moment.
  if (level === undefined || level.width === 0) return;
  context.setTransform(a * ratio, b * ratio, c * ratio, d * ratio, e * ratio, f * ratio);
  if (fade > 0) {
    context.fillStyle = '#ffffff';
    context.fillRect(0, 0, picture.width, picture.height);
    context.globalAlpha = 1 - fade;
  }
  context.imageSmoothingEnabled = view.scale * ratio < 2;
  context.drawImage(level, 0, 0, picture.width, picture.height);
  context.globalAlpha = 1;
}

const LENS = { width: 136, height: 136 };
/** Screen pixels of the lens for one of the picture. */
const LENS_SCALE = 8;
/** Beyond this zoom the picture itself shows its pixels. */
const LENS_NOT_NEEDED_FROM = 6;
const LENS_GAP = 22;

/** A magnifier beside the pointer: the pixels under it, the very place in its cross hairs. */
function Lens({ picture, view, size, place }: Lie & { place: PicturePlace }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const ratio = globalThis.devicePixelRatio || 1;
  const isNeeded = view.scale < LENS_NOT_NEEDED_FROM;
  useLayoutEffect(() => {
    const magnified = { centre: place, scale: LENS_SCALE, turn: view.turn };
    if (isNeeded) drawPicture(canvas.current, { picture, view: magnified, size: LENS }, ratio, 0);
  }, [picture, view.turn, place, ratio, isNeeded]);
  if (!isNeeded) return null;
  const { left, top } = toStage(view, size, place);
  const room = LENS_GAP + LENS.width;
  // Above and to the right of the pointer, and where that is outside on the other side: never over the place itself.
  const at = {
    left: left + room > size.width ? left - room : left + LENS_GAP,
    top: top - room < 0 ? top + LENS_GAP : top - room,
  };
  return (
    <div className={styles.lens} style={{ ...at, ...LENS }} aria-hidden="true">
      <canvas ref={canvas} width={LENS.width * ratio} height={LENS.height * ratio} style={LENS} />
      <span className={styles.crossAcross} />
      <span className={styles.crossDown} />
    </div>
  );
}

/** Lines in the picture's own pixels: moving the picture only changes the group's matrix. */
const StageLines = memo(function StageLines({ lines }: { lines: readonly StageLine[] }) {
  return lines.map((line) => {
    const path = pathOf(line);
    return (
      <g key={line.id} data-line={line.look}>
        {line.look !== 'grid' && <path className={styles.halo} d={path} />}
        <path className={styles[line.look]} d={path} />
      </g>
    );
  });
});

/** Straight pieces, closed where the line is. */
function pathOf({ places, closed }: StageLine): string {
  if (places.length < 2) return '';
  const text = places.map(({ x, y }) => `${x.toFixed(2)} ${y.toFixed(2)}`).join('L');
  return `M${text}${closed === true ? 'Z' : ''}`;
}

/** Everything that lies over the picture. Points keep their size whatever the zoom. */
function StageMarks({
  lines,
  points,
  selected,
  view,
  size,
}: Pick<PictureStageProps, 'lines' | 'points' | 'selected'> & Omit<Lie, 'picture'>) {
  return (
    <svg className={styles.marks} width={size.width} height={size.height} aria-hidden="true">
      <g transform={`matrix(${stageMatrix(view, size).join(' ')})`}>
        <StageLines lines={lines} />
      </g>
      {lines.flatMap((line) => {
        const last = line.places.at(-1);
        if (line.label === undefined || last === undefined) return [];
        const { left, top } = toStage(view, size, last);
        return [
          <text key={line.id} className={styles.label} x={left + 4} y={top - 3}>
            {line.label}
          </text>,
        ];
      })}
      {points.map((point) => {
        const { left, top } = toStage(view, size, point.place);
        if (left < -20 || top < -20 || left > size.width + 20 || top > size.height + 20) return null;
        const isSelected = point.id === selected;
        return (
          <g
            key={point.id}
            data-point={point.isFixed === true ? undefined : point.id}
            data-look={point.look}
            data-selected={isSelected || undefined}
            transform={`translate(${left.toFixed(2)} ${top.toFixed(2)})`}
            className={point.isFixed === true ? styles.fixed : styles.point}
          >
            {isSelected && <circle className={styles.chosen} r="11" />}
            {point.isDoubtful === true && <circle className={styles.doubtful} r="9" />}
            <PointShape look={point.look} />
            {/* What the pointer can grip is larger than what is seen. */}
            {point.isFixed !== true && <circle className={styles.grip} r="9" />}
            <title>{point.name}</title>
          </g>
        );
      })}
    </svg>
  );
}

function PointShape({ look }: { look: StagePoint['look'] }) {
  if (look === 'axis') return <path className={styles.axisPoint} d="M-9 0H-2M2 0H9M0-9V-2M0 2V9M-5-5h10v10h-10z" />;
  if (look === 'reading') return <path className={styles.readingPoint} d="M0-5 5 0 0 5-5 0z" />;
  if (look === 'current') return <circle className={styles.currentPoint} r="3.6" />;
  if (look === 'proposed') return <circle className={styles.proposedPoint} r="4" />;
  return <circle className={styles.otherPoint} r="2.4" />;
}
