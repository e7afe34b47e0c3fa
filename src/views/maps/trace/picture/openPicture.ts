import { formatNumber } from '../../../../units/index.ts';

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
const MOST_SVG_BYTES = 20 * 1024 * 1024;
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
        return await part.openPdf(bytes, name, canvasToPng);
      }
      case 'svg':
        return await drawSvg(bytes, name);
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

/** What a file is, told by its first bytes: names lie. */
type PictureKind = 'png' | 'jpeg' | 'webp' | 'svg' | 'pdf';

type PictureHead =
  /** Size as stored; null where only drawing it tells (SVG, PDF). */
  { ok: true; kind: PictureKind; size: { width: number; height: number } | null } | { ok: false; message: string };

/** Larger pictures are refused before they are decoded: a few bytes can ask for terabytes. */
export const MOST_PIXELS = 64e6;
const LONGEST_SIDE = 20_000;

/** Why a picture of that size is not opened, or null. */
export function sizeProblem(width: number, height: number): string | null {
  if (!(width >= 1) || !(height >= 1)) return 'The picture has no size: the file is damaged.';
  const size = `${formatNumber(width, 0)} by ${formatNumber(height, 0)} pixels`;
  if (width * height > MOST_PIXELS || Math.max(width, height) > LONGEST_SIDE)
    return `The picture has ${size}; at most ${MOST_PIXELS / 1e6} million pixels and ${formatNumber(LONGEST_SIDE, 0)} a side can be opened. Save it smaller, or only the part with the map.`;
  if (Math.min(width, height) < 16) return `The picture has only ${size}; nothing can be read from it.`;
  return null;
}

const CUT_OFF = 'The picture ends before its end: the file is cut off. Copy or download it again.';

/** What the file is, its size, and whether it is whole, from its bytes alone; nothing is decoded. */
export function readPictureHead(bytes: Uint8Array): PictureHead {
  if (bytes.length === 0) return no('The file is empty.');
  if (startsWith(bytes, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return pngHead(bytes);
  if (startsWith(bytes, [0xff, 0xd8, 0xff])) return jpegHead(bytes);
  if (text(bytes, 0, 4) === 'RIFF' && text(bytes, 8, 12) === 'WEBP') return webpHead(bytes);
  // A PDF may have some bytes of something else before its mark (ISO 32000-1, Annex H, note 13).
  if (text(bytes, 0, 1024).includes('%PDF-')) return { ok: true, kind: 'pdf', size: null };
  if (looksLikeSvg(bytes)) return { ok: true, kind: 'svg', size: null };
  const known = otherKind(bytes);
  return no(
    known === null
      ? 'This is no picture that can be opened. PNG, JPEG, WebP, SVG and pages of a PDF can.'
      : `This is ${known}, which cannot be opened here. Save it as PNG or JPEG.`,
  );
}

function pngHead(bytes: Uint8Array): PictureHead {
  if (bytes.length < 33 || text(bytes, 12, 16) !== 'IHDR') return no(CUT_OFF);
  const view = viewOf(bytes);
  const head = sized('png', view.getUint32(16), view.getUint32(20));
  // The last chunk is IEND, 12 bytes; some programs leave padding behind it.
  return head.ok && !text(bytes, Math.max(0, bytes.length - 4096), bytes.length).includes('IEND') ? no(CUT_OFF) : head;
}

/** Walks the segments up to the frame header. Source: ITU-T T.81, Annex B. */
function jpegHead(bytes: Uint8Array): PictureHead {
  const view = viewOf(bytes);
  let at = 2;
  while (at + 9 < bytes.length) {
    if (bytes[at] !== 0xff) return no('The picture is damaged: its parts do not follow one another.');
    const marker = bytes[at + 1] ?? 0;
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    const isFrame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (isFrame) {
      const head = sized('jpeg', view.getUint16(at + 7), view.getUint16(at + 5));
      return head.ok && !hasJpegEnd(bytes) ? no(CUT_OFF) : head;
    }
    if (marker === 0xda || marker === 0xd9) break;
    at += 2 + view.getUint16(at + 2);
  }
  return no(CUT_OFF);
}

/** The end mark, which cameras may follow by data of their own. */
function hasJpegEnd(bytes: Uint8Array): boolean {
  for (let i = bytes.length - 2; i > bytes.length / 2; i--) if (bytes[i] === 0xff && bytes[i + 1] === 0xd9) return true;
  return false;
}

/** Source: WebP Container Specification (RFC 9649): VP8, VP8L, VP8X. */
function webpHead(bytes: Uint8Array): PictureHead {
  if (bytes.length < 30) return no(CUT_OFF);
  const view = viewOf(bytes);
  if (view.getUint32(4, true) + 8 > bytes.length) return no(CUT_OFF);
  const form = text(bytes, 12, 16);
  if (form === 'VP8X') return sized('webp', 1 + uint24(view, 24), 1 + uint24(view, 27));
  if (form === 'VP8L') {
    const bits = view.getUint32(21, true);
    return sized('webp', 1 + (bits & 0x3fff), 1 + ((bits >> 14) & 0x3fff));
  }
  return sized('webp', view.getUint16(26, true) & 0x3fff, view.getUint16(28, true) & 0x3fff);
}

function sized(kind: PictureKind, width: number, height: number): PictureHead {
  const problem = sizeProblem(width, height);
  return problem === null ? { ok: true, kind, size: { width, height } } : no(problem);
}

function looksLikeSvg(bytes: Uint8Array): boolean {
  const start = new TextDecoder()
    .decode(bytes.subarray(0, 4096))
    .replace(/^\uFEFF/, '')
    .trimStart();
  return start.startsWith('<') && /<svg[\s>]/i.test(start) && !/^<!doctype html|^<html/i.test(start);
}

function otherKind(bytes: Uint8Array): string | null {
  if (text(bytes, 0, 3) === 'GIF') return 'a GIF';
  if (text(bytes, 0, 2) === 'BM') return 'a BMP picture';
  if (text(bytes, 0, 4) === 'II*\0' || text(bytes, 0, 4) === 'MM\0*') return 'a TIFF picture';
  if (text(bytes, 4, 8) === 'ftyp') return 'a HEIC, AVIF or film file';
  if (text(bytes, 0, 2) === 'PK') return 'a packed file or an office document';
  return null;
}

const no = (message: string) => ({ ok: false, message }) as const;
const refused = (message: string) => ({ kind: 'refused', message }) as const;

function startsWith(bytes: Uint8Array, mark: readonly number[]): boolean {
  return mark.every((byte, i) => bytes[i] === byte);
}

function text(bytes: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...bytes.subarray(from, to));
}

function viewOf(bytes: Uint8Array): DataView {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

function uint24(view: DataView, at: number): number {
  return view.getUint16(at, true) | (view.getUint8(at + 2) << 16);
}

/** Lines of a drawing are sharp at any size; this many pixels along its longer side are enough to place a point by eye. */
const LONGER_SIDE = 3200;

/**
 * A drawing to a PNG. It goes through an <img> only: there the browser runs no script of it and fetches nothing that it refers to.
 */
async function drawSvg(bytes: Uint8Array<ArrayBuffer>, name: string): Promise<Opened> {
  if (bytes.length > MOST_SVG_BYTES) return refused('The drawing is larger than 20 MB. Save the sheet as a PNG.');
  const tooMuch = drawingProblem(new TextDecoder().decode(bytes));
  if (tooMuch !== null) return refused(tooMuch);
  const url = URL.createObjectURL(new Blob([bytes], { type: 'image/svg+xml' }));
  try {
    const image = new Image();
    image.src = url;
    try {
      await image.decode();
    } catch {
      return refused('The drawing cannot be shown: the SVG file is damaged.');
    }
    const own = { width: image.naturalWidth || 1600, height: image.naturalHeight || 1200 };
    const scale = LONGER_SIDE / Math.max(own.width, own.height);
    const width = Math.round(own.width * scale);
    const height = Math.round(own.height * scale);
    const problem = sizeProblem(width, height);
    if (problem !== null) return refused(problem);
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = height;
    const context = canvas.getContext('2d');
    if (context === null) return refused('The browser has no memory left for the drawing.');
    // Drawings leave their paper out.
    context.fillStyle = '#ffffff';
    context.fillRect(0, 0, width, height);
    context.drawImage(image, 0, 0, width, height);
    return { kind: 'picture', picture: { bytes: await canvasToPng(canvas), width, height, name } };
  } finally {
    URL.revokeObjectURL(url);
  }
}

/** Rejects where the browser will not hand the pixels out (no memory, or a drawing that carries foreign parts). */
export function canvasToPng(canvas: HTMLCanvasElement): Promise<Blob> {
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => {
      if (blob === null) reject(new Error('The browser gave no picture.'));
      else resolve(blob);
    }, 'image/png');
  });
}

/** A drawing of a map has some thousands of elements; beyond this the page would stand still while it is drawn. */
const MOST_DRAWN = 100_000;
/** A path so long weighs as one more element. */
const PATH_LENGTH = 200;
/** What a filter costs beside a shape: it works on every pixel. */
const FILTER_STEP = 2_000;

/**
 * Why a drawing is not drawn, or null. Elements are counted as they are drawn: one that is used a thousand times counts a thousand times,
 * and so do patterns, masks, markers and filters, however deep they use each other. Nothing is drawn for it. Needs a page.
 */
export function drawingProblem(text: string): string | null {
  if (/<!ENTITY[^>]*&[^#]/i.test(text)) return 'The drawing is not opened: its entities stand for each other.';
  const svg = new DOMParser().parseFromString(text, 'image/svg+xml');
  if (svg.querySelector('parsererror') !== null) return 'The drawing cannot be shown: the SVG file is damaged.';
  if (drawnElements(svg.documentElement) <= MOST_DRAWN) return null;
  return `The drawing has more than ${formatNumber(MOST_DRAWN, 0)} elements once all that it repeats is drawn; the page would stand still. Save the sheet as a PNG.`;
}

/** How many elements are drawn for this one; Infinity as soon as it is hopeless. */
function drawnElements(root: Element): number {
  const named = new Map([...root.querySelectorAll('[id]')].map((element) => [element.id, element]));
  const sheet = [...root.querySelectorAll('style')].map(({ textContent }) => textContent).join(' ');
  const inSheet = references(sheet);
  const known = new Map<Element, number>();
  // Without recursion: a file may nest deeper than the stack.
  const stack: { element: Element; parts: Element[]; sum: number }[] = [];
  const open = (element: Element) => {
    // What refers to itself is drawn once, as browsers do.
    known.set(element, 0);
    const used = [...references(ownReferences(element)), ...(element.hasAttribute('class') ? inSheet : [])];
    const parts = [...element.children, ...used.flatMap((id) => named.get(id) ?? [])];
    stack.push({ element, parts, sum: weight(element) });
  };
  open(root);
  for (let top = stack.at(-1); top !== undefined; top = stack.at(-1)) {
    const part = top.parts.at(-1);
    if (part === undefined) {
      known.set(top.element, top.sum);
      stack.pop();
      continue;
    }
    const sum = known.get(part);
    if (sum === undefined) {
      open(part);
      continue;
    }
    top.parts.pop();
    top.sum += sum;
    if (top.sum > MOST_DRAWN) return Number.POSITIVE_INFINITY;
  }
  return known.get(root) ?? 0;
}

function weight(element: Element): number {
  if (/^fe[A-Z]/.test(element.localName)) return FILTER_STEP;
  const { length } = element.getAttribute('d') ?? element.getAttribute('points') ?? '';
  return 1 + Math.floor(length / PATH_LENGTH);
}

function ownReferences(element: Element): string {
  const href = element.getAttribute('href') ?? element.getAttributeNS('http://www.w3.org/1999/xlink', 'href') ?? '';
  const others = [...element.attributes].filter(({ value }) => value.includes('url(')).map(({ value }) => value);
  // A link and a picture draw nothing else of the file.
  return [...(href.startsWith('#') && element.localName !== 'a' ? [`url(${href})`] : []), ...others].join(' ');
}

/** Names in 'url(#a)'. */
function references(text: string): string[] {
  return [...text.matchAll(/url\(\s*["']?#([^"')\s]+)/g)].map(([, id = '']) => id);
}
