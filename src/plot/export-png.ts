function loadedImage(url: string): Promise<HTMLImageElement> {
  return new Promise((resolve, reject) => {
    const image = new Image();
    image.onload = () => resolve(image);
    image.onerror = () => reject(new Error('The drawing could not be turned into a picture. Save it as SVG instead.'));
    image.src = url;
  });
}

/**
 * A PNG of a standalone SVG, `scale` times its size in pixels (2 to 3 for print). Rejects with a plain sentence when the browser
 * cannot draw or encode it.
 */
export async function exportPng(svg: string, scale: number): Promise<Blob> {
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml;charset=utf-8' }));
  try {
    const image = await loadedImage(url);
    const canvas = document.createElement('canvas');
    canvas.width = Math.round(image.width * scale);
    canvas.height = Math.round(image.height * scale);
    const context = canvas.getContext('2d');
    if (!context) throw new Error('This browser gives no canvas to draw the picture on. Save it as SVG instead.');
    context.drawImage(image, 0, 0, canvas.width, canvas.height);
    return await new Promise<Blob>((resolve, reject) => {
      canvas.toBlob((blob) => {
        if (blob) resolve(blob);
        else reject(new Error('The picture is too large for this browser. Choose a smaller size or save it as SVG.'));
      }, 'image/png');
    });
  } finally {
    URL.revokeObjectURL(url);
  }
}
