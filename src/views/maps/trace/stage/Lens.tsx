import { useLayoutEffect, useRef } from 'react';
import type { PicturePlace } from '../../../../compressor/reading/index.ts';
import { type Size, type StagePlace, type StageView, toStage } from '../model/stageView.ts';
import type { PictureLevels } from '../picture/pictureLevels.ts';
import { drawPicture } from './PictureCanvas.tsx';
import styles from './stage.module.css';

const SIZE = 136;
/** Screen pixels for one of the picture. */
const SCALE = 8;
/** Beyond this zoom the picture itself shows its pixels. */
const NOT_NEEDED_FROM = 6;
const GAP = 22;

/** A magnifier beside the pointer: the pixels under it, the very place in its cross hairs. */
export function Lens({
  picture,
  view,
  size,
  place,
}: {
  picture: PictureLevels;
  view: StageView;
  size: Size;
  place: PicturePlace;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const ratio = globalThis.devicePixelRatio || 1;
  const isNeeded = view.scale < NOT_NEEDED_FROM;
  useLayoutEffect(() => {
    const context = isNeeded ? canvas.current?.getContext('2d') : null;
    if (!context) return;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, context.canvas.width, context.canvas.height);
    const lens = { width: SIZE, height: SIZE };
    drawPicture(context, picture, { centre: place, scale: SCALE, turn: view.turn }, lens, { ratio, fade: 0 });
  }, [picture, view.turn, place, ratio, isNeeded]);
  if (!isNeeded) return null;
  const at = toStage(view, size, place);
  return (
    <div className={styles.lens} style={{ ...besidePointer(at, size), width: SIZE, height: SIZE }} aria-hidden="true">
      <canvas ref={canvas} width={SIZE * ratio} height={SIZE * ratio} style={{ width: SIZE, height: SIZE }} />
      <span className={styles.crossAcross} />
      <span className={styles.crossDown} />
    </div>
  );
}

/** Above and to the right of the pointer, and where that is outside on the other side: never over the place itself. */
function besidePointer({ left, top }: StagePlace, size: Size): StagePlace {
  return {
    left: left + GAP + SIZE > size.width ? left - GAP - SIZE : left + GAP,
    top: top - GAP - SIZE < 0 ? top + GAP : top - GAP - SIZE,
  };
}
