import { canvasToPng } from './canvasToPng.ts';
import type { Opened } from './openPicture.ts';
import { sizeProblem } from './pictureKind.ts';

/** Lines of a drawing are sharp at any size; this many pixels along its longer side are enough to place a point by eye. */
const LONGER_SIDE = 3200;

/**
 * A drawing to a PNG. It goes through an <img> only: there the browser runs no script of it and fetches nothing that it refers to.
 */
export async function drawSvg(bytes: Uint8Array<ArrayBuffer>, name: string): Promise<Opened> {
  const url = URL.createObjectURL(new Blob([bytes], { type: 'image/svg+xml' }));
  try {
    const image = new Image();
    image.src = url;
    try {
      await image.decode();
    } catch {
      return { kind: 'refused', message: 'The drawing cannot be shown: the SVG file is damaged.' };
    }
    const own = { width: image.naturalWidth || 1600, height: image.naturalHeight || 1200 };
    const scale = LONGER_SIDE / Math.max(own.width, own.height);
    const width = Math.round(own.width * scale);
    const height = Math.round(own.height * scale);
    const problem = sizeProblem(width, height);
    if (problem !== null) return { kind: 'refused', message: problem };
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = height;
    const context = canvas.getContext('2d');
    if (context === null) return { kind: 'refused', message: 'The browser has no memory left for the drawing.' };
    // Drawings leave their paper out.
    context.fillStyle = '#ffffff';
    context.fillRect(0, 0, width, height);
    context.drawImage(image, 0, 0, width, height);
    return { kind: 'picture', picture: { bytes: await canvasToPng(canvas), width, height, name } };
  } finally {
    URL.revokeObjectURL(url);
  }
}
