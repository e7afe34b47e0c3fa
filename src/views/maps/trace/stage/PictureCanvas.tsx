import { useLayoutEffect, useRef } from 'react';
import type { PictureLook } from '../../../../build/index.ts';
import { type Size, type StageView, stageMatrix } from '../model/stageView.ts';
import { levelFor, type PictureLevels } from '../picture/pictureLevels.ts';
import styles from './stage.module.css';

/** The picture itself. Draws the level that has a pixel for every device pixel, and single pixels as squares. */
export function PictureCanvas({
  picture,
  view,
  size,
  look,
}: {
  picture: PictureLevels;
  view: StageView;
  size: Size;
  look: PictureLook;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const ratio = globalThis.devicePixelRatio || 1;
  useLayoutEffect(() => {
    const context = canvas.current?.getContext('2d');
    if (!context) return;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, context.canvas.width, context.canvas.height);
    drawPicture(context, picture, view, size, { ratio, fade: look.fade });
  }, [picture, view, size, ratio, look.fade]);
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
export function drawPicture(
  context: CanvasRenderingContext2D,
  picture: PictureLevels,
  view: StageView,
  size: Size,
  { ratio, fade }: { ratio: number; fade: number },
): void {
  const [a, b, c, d, e, f] = stageMatrix(view, size);
  const index = levelFor(picture.levels, view.scale * ratio);
  const level = picture.levels[index];
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
