/** Rejects where the browser will not hand the pixels out (no memory, or a drawing that carries foreign parts). */
export function canvasToPng(canvas: HTMLCanvasElement): Promise<Blob> {
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => {
      if (blob === null) reject(new Error('The browser gave no picture.'));
      else resolve(blob);
    }, 'image/png');
  });
}
