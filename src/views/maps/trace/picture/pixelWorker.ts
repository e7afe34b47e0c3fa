import { followStroke, type PixelImage, snapToStroke } from '../../../../reading/pixels/index.ts';
import type { PixelAnswer, PixelQuestion } from './usePicture.ts';

/*
 * Holds the pixels of the open picture, so that looking for strokes in 40 megapixels never holds up the page. Nothing is fetched here:
 * the bytes come with the first message.
 */

let pixels: PixelImage | null = null;

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<PixelQuestion>) => void) | null;
  postMessage(answer: PixelAnswer): void;
};

scope.onmessage = ({ data }) => {
  answer(data).then(
    (found) => scope.postMessage(found),
    () => scope.postMessage({ id: data.id, ok: false, message: 'The pixels of the picture cannot be read.' }),
  );
};

async function answer(question: PixelQuestion): Promise<PixelAnswer> {
  const { id } = question;
  if (question.ask === 'load') {
    pixels = null;
    pixels = await decode(question.bytes);
    return { id, ok: true };
  }
  if (pixels === null) return { id, ok: false, message: 'The picture is not ready yet.' };
  if (question.ask === 'snap')
    return { id, ok: true, snapped: snapToStroke(pixels, question.place, question.radiusPx) };
  const { radiusPx, thinPx, mostPoints } = question;
  const options = { searchRadiusPx: radiusPx, thinTolerancePx: thinPx, mostPoints };
  return { id, ok: true, followed: followStroke(pixels, question.place, options) };
}

async function decode(bytes: Blob): Promise<PixelImage> {
  const bitmap = await createImageBitmap(bytes);
  const { width, height } = bitmap;
  const context = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true });
  if (context === null) throw new Error('No memory for the pixels.');
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  return context.getImageData(0, 0, width, height);
}
