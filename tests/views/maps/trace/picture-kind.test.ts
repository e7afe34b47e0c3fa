import { describe, expect, it } from 'vitest';
import { MOST_PIXELS, readPictureHead, sizeProblem } from '../../../../src/views/maps/trace/picture/openPicture.ts';
import { seededRandom } from '../../../machines/random.ts';

const bytes = (...parts: readonly (string | readonly number[])[]): Uint8Array =>
  Uint8Array.from(parts.flatMap((part) => (typeof part === 'string' ? [...Buffer.from(part, 'latin1')] : [...part])));
const u32 = (n: number) => [(n >>> 24) & 255, (n >>> 16) & 255, (n >>> 8) & 255, n & 255];

/** Heads as the formats' standards have them: PNG (ISO 15948), JPEG (ITU-T T.81), WebP (RFC 9649). */
const png = (width: number, height: number) =>
  bytes(
    [0x89],
    'PNG\r\n',
    [0x1a, 0x0a],
    u32(13),
    'IHDR',
    u32(width),
    u32(height),
    [8, 2, 0, 0, 0],
    u32(0),
    u32(0),
    'IEND',
    u32(0),
  );
const jpeg = (width: number, height: number, end: readonly number[] = [0xff, 0xd9]) =>
  bytes(
    [0xff, 0xd8, 0xff, 0xe0, 0, 4, 0, 0],
    [0xff, 0xc2, 0, 17, 8, height >> 8, height & 255, width >> 8, width & 255, 3, 0, 0, 0, 0, 0, 0, 0, 0, 0],
    [0xff, 0xda, 0, 2, 1, 2, 3, 4, 5, 6, 7, 8],
    end,
  );
const webp = (width: number, height: number) => {
  const body = bytes(
    'WEBPVP8X',
    [10, 0, 0, 0],
    [0, 0, 0, 0],
    [(width - 1) & 255, (width - 1) >> 8, 0],
    [(height - 1) & 255, (height - 1) >> 8, 0],
  );
  return bytes('RIFF', [body.length, 0, 0, 0], [...body]);
};

describe('what a file is, by its bytes', () => {
  it('reads kind and size', () => {
    expect(readPictureHead(png(1600, 1200))).toEqual({ ok: true, kind: 'png', size: { width: 1600, height: 1200 } });
    expect(readPictureHead(jpeg(4000, 3000))).toEqual({ ok: true, kind: 'jpeg', size: { width: 4000, height: 3000 } });
    expect(readPictureHead(webp(640, 480))).toEqual({ ok: true, kind: 'webp', size: { width: 640, height: 480 } });
    expect(readPictureHead(bytes('%PDF-1.7\n'))).toMatchObject({ ok: true, kind: 'pdf' });
    expect(readPictureHead(bytes('<?xml version="1.0"?><svg xmlns="x"/>'))).toMatchObject({ ok: true, kind: 'svg' });
  });

  it('refuses in words what is cut off, too large, too small, empty or something else', () => {
    const said = (b: Uint8Array) => {
      const head = readPictureHead(b);
      return head.ok ? '' : head.message;
    };
    expect(said(bytes(''))).toMatch(/empty/);
    expect(said(png(1600, 1200).subarray(0, 40))).toMatch(/cut off/);
    expect(said(jpeg(1600, 1200, []))).toMatch(/cut off/);
    expect(said(webp(640, 480).subarray(0, 29))).toMatch(/cut off/);
    expect(said(png(100_000, 100_000))).toMatch(/100\u202f000 by 100\u202f000 pixels; at most 64 million/);
    expect(said(png(4, 4))).toMatch(/only 4 by 4/);
    expect(said(png(0, 0))).toMatch(/no size/);
    expect(said(bytes('<html><svg></svg></html>'))).toMatch(/no picture/);
    expect(said(bytes('PK\u0003\u0004'))).toMatch(/packed file or an office document/);
  });

  it('takes 40 megapixels', () => {
    expect(sizeProblem(7680, 5208)).toBeNull();
    expect(MOST_PIXELS).toBeGreaterThanOrEqual(40e6);
  });

  it('ends with a kind or a message for 1,000 damaged heads, and never lets a size through that it would refuse', () => {
    const random = seededRandom(5);
    const whole = [png(1600, 1200), jpeg(4000, 3000), webp(640, 480), bytes('%PDF-1.7'), bytes('<svg/>')];
    for (let i = 0; i < 1000; i++) {
      const damaged = Uint8Array.from(whole[i % whole.length]!);
      for (let n = 0; n < 1 + (i % 9); n++) damaged[Math.floor(random() * damaged.length)] = Math.floor(random() * 256);
      const head = readPictureHead(damaged.subarray(0, Math.ceil(damaged.length * (i % 3 === 0 ? random() : 1))));
      if (!head.ok) expect(head.message).toMatch(/\.$/);
      else if (head.size !== null) expect(sizeProblem(head.size.width, head.size.height)).toBeNull();
    }
  });
});
