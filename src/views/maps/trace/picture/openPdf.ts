import { GlobalWorkerOptions, getDocument, type PDFDocumentProxy, type PDFPageProxy } from 'pdfjs-dist';
import workerUrl from 'pdfjs-dist/build/pdf.worker.min.mjs?url';
import type { canvasToPng, Opened, OpenedPicture } from './openPicture.ts';

GlobalWorkerOptions.workerSrc = workerUrl;

/** A page is drawn at 300 dots an inch, as a good scan, and never with more pixels than this. */
const DOTS_PER_INCH = 300;
const MOST_PAGE_PIXELS = 32e6;
const PREVIEW_SIDE = 220;
const MOST_PAGES = 2000;
/** A page of a sheet is drawn in a second or two; one that nests drawings in drawings never ends. */
const LONGEST_DRAWING_MS = 20_000;

/** Where vite.config.ts puts what PDF.js loads by name: fonts, character maps, decoders. All from this page's own address. */
const own = (folder: string): string => new URL(`pdf/${folder}/`, document.baseURI).href;

/** Opens a PDF. Its scripts are never run and its links never followed; only its pages are drawn. */
export async function openPdf(
  bytes: Uint8Array<ArrayBuffer>,
  name: string,
  toPng: typeof canvasToPng,
): Promise<Opened> {
  const loading = getDocument({
    data: bytes,
    isEvalSupported: false,
    enableXfa: false,
    cMapUrl: own('cmaps'),
    standardFontDataUrl: own('standard_fonts'),
    wasmUrl: own('wasm'),
    iccUrl: own('iccs'),
    maxImageSize: 80e6,
    verbosity: 0,
  });
  let pdf: PDFDocumentProxy;
  try {
    pdf = await inTime(loading.promise, () => void loading.destroy());
  } catch (error) {
    const isLocked = error instanceof Error && error.name === 'PasswordException';
    const message = isLocked
      ? 'The PDF is locked by a password. Save it without one, then open it again.'
      : 'The PDF is damaged and cannot be opened.';
    return { kind: 'refused', message };
  }
  if (pdf.numPages > MOST_PAGES) {
    void loading.destroy();
    return { kind: 'refused', message: `The PDF has ${pdf.numPages} pages. Save the page with the map by itself.` };
  }
  const draw = (page: number, scaleFor: (w: number, h: number) => number) =>
    // Its worker is ended: it would go on with what nobody waits for.
    inTime(
      pdf.getPage(page).then((found) => drawPage(found, scaleFor)),
      () => void loading.destroy(),
    );
  const document = {
    name,
    pages: pdf.numPages,
    async preview(page: number): Promise<string> {
      const drawn = await draw(page, (w, h) => PREVIEW_SIDE / Math.max(w, h));
      return URL.createObjectURL(await toPng(drawn));
    },
    async take(page: number): Promise<OpenedPicture> {
      const drawn = await draw(page, (w, h) => Math.min(DOTS_PER_INCH / 72, Math.sqrt(MOST_PAGE_PIXELS / (w * h))));
      return { bytes: await toPng(drawn), width: drawn.width, height: drawn.height, name, page };
    },
    close: () => void loading.destroy(),
  };
  return { kind: 'document', document };
}

function inTime<T>(work: Promise<T>, giveUp: () => void): Promise<T> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => {
      giveUp();
      reject(new Error('The page takes too long to draw.'));
    }, LONGEST_DRAWING_MS);
    work.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

async function drawPage(page: PDFPageProxy, scaleFor: (w: number, h: number) => number): Promise<HTMLCanvasElement> {
  const natural = page.getViewport({ scale: 1 });
  const viewport = page.getViewport({ scale: scaleFor(natural.width, natural.height) });
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(viewport.width));
  canvas.height = Math.max(1, Math.round(viewport.height));
  // 0: notes and form fields that lie over the page are left out.
  await page.render({ canvas, viewport, background: '#ffffff', annotationMode: 0 }).promise;
  page.cleanup();
  return canvas;
}
