/** What a file is, told by its first bytes: names lie. */
export type PictureKind = 'png' | 'jpeg' | 'webp' | 'svg' | 'pdf';

export type PictureHead =
  /** Size as stored; null where only drawing it tells (SVG, PDF). */
  { ok: true; kind: PictureKind; size: { width: number; height: number } | null } | { ok: false; message: string };

/** Larger pictures are refused before they are decoded: a few bytes can ask for terabytes. */
export const MOST_PIXELS = 64e6;
const LONGEST_SIDE = 20_000;

/** Why a picture of that size is not opened, or null. */
export function sizeProblem(width: number, height: number): string | null {
  if (!(width >= 1) || !(height >= 1)) return 'The picture has no size: the file is damaged.';
  const size = `${width.toLocaleString('en')} by ${height.toLocaleString('en')} pixels`;
  if (width * height > MOST_PIXELS || Math.max(width, height) > LONGEST_SIDE)
    return `The picture has ${size}; at most ${MOST_PIXELS / 1e6} million pixels and ${LONGEST_SIDE.toLocaleString('en')} a side can be opened. Save it smaller, or only the part with the map.`;
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

function no(message: string): PictureHead {
  return { ok: false, message };
}

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
