import { readPictureHead, sizeProblem } from './pictureKind.ts';

/** A picture as it is kept: always PNG, JPEG or WebP. Drawings and pages are turned into PNG once, so that their pixels stand. */
export interface OpenedPicture {
  bytes: Blob;
  width: number;
  height: number;
  name: string;
  page?: number | undefined;
}

/** A document of several pages: one is to be chosen. */
export interface OpenedDocument {
  name: string;
  pages: number;
  /** A small view of a page, from 1, as an address for an <img>; release it with URL.revokeObjectURL. */
  preview(page: number): Promise<string>;
  take(page: number): Promise<OpenedPicture>;
  close(): void;
}

export type Opened =
  | { kind: 'picture'; picture: OpenedPicture }
  | { kind: 'document'; document: OpenedDocument }
  | { kind: 'refused'; message: string };

/** A phone's photo has 15 MB, a scanned document some tens; beyond this it is not read. */
const MOST_BYTES = 200 * 1024 * 1024;
const TYPES = { png: 'image/png', jpeg: 'image/jpeg', webp: 'image/webp' } as const;

/** Opens a file as a picture or a document of pages; what cannot be opened is refused with words that say why. Never throws. */
export async function openPicture(file: Blob & { name?: string }): Promise<Opened> {
  const name = file.name ?? 'Pasted picture';
  if (file.size > MOST_BYTES)
    return refused('The file is larger than 200 MB. Save only the page or the part with the map.');
  let bytes: Uint8Array<ArrayBuffer>;
  try {
    bytes = new Uint8Array(await file.arrayBuffer());
  } catch {
    return refused('The file cannot be read. It may have been moved or locked: open it again.');
  }
  const head = readPictureHead(bytes);
  if (!head.ok) return refused(head.message);
  try {
    switch (head.kind) {
      case 'pdf': {
        const part = await import('./openPdf.ts').catch(() => null);
        if (part === null)
          return refused('The part of the program that draws PDF pages cannot be loaded: is it still being served?');
        return await part.openPdf(bytes, name);
      }
      case 'svg': {
        const { drawSvg } = await import('./drawSvg.ts');
        return await drawSvg(bytes, name);
      }
      default:
        return await checkedRaster(new Blob([bytes], { type: TYPES[head.kind] }), name);
    }
  } catch {
    return refused('The picture cannot be opened: the file is damaged, or the browser has no memory left for it.');
  }
}

/** Decodes once, so that a damaged picture is refused before anything is changed, and its size is what the browser shows. */
async function checkedRaster(bytes: Blob, name: string): Promise<Opened> {
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(bytes);
  } catch {
    return refused('The picture is damaged: the browser cannot decode it.');
  }
  const { width, height } = bitmap;
  bitmap.close();
  const problem = sizeProblem(width, height);
  return problem === null ? { kind: 'picture', picture: { bytes, width, height, name } } : refused(problem);
}

function refused(message: string): Opened {
  return { kind: 'refused', message };
}
