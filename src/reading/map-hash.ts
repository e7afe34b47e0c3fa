import type { MapSheet } from '../compressor/index.ts';
import type { TurbineSheet } from '../turbine/index.ts';

/** Thirty-two signs without those that are taken for one another (I, L, O, U left out). */
const SIGNS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';

/**
 * A short name for a map's data, to be printed and compared: 40 bits of SHA-256 as 'XXXX-XXXX'.
 * Of the data only: reference, unit, lines, surge line, islands, limits, wheel; not of name and source. The same whatever the order of
 * keys, of lines and of the points along a line, and however a number was written (0.30 and 3e-1 are one).
 */
export function mapHash(sheet: MapSheet): string {
  return dataHash(canonicalData(sheet));
}

/** 40 bits of SHA-256 of a text as 'XXXX-XXXX'. */
function dataHash(data: string): string {
  const bytes = sha256(new TextEncoder().encode(data));
  let text = '';
  let bits = 0;
  let held = 0;
  for (const byte of bytes.subarray(0, 5)) {
    bits = (bits << 8) | byte;
    held += 8;
    while (held >= 5) {
      held -= 5;
      text += SIGNS[(bits >> held) & 31];
    }
    bits &= (1 << held) - 1;
  }
  return `${text.slice(0, 4)}-${text.slice(4)}`;
}

/** The same for a turbine sheet: of the meaning of its flow and its lines, in whatever order they stand. */
export function turbineHash({ flow, lines }: Pick<TurbineSheet, 'flow' | 'lines'>): string {
  const meaning =
    flow.kind === 'parameter'
      ? `flow parameter ${flow.pressureUnit}`
      : `flow ${flow.unit} reference ${number(flow.reference.temperatureK)} ${number(flow.reference.pressurePa)}`;
  const written = lines.map(({ speedRpm, points }) => {
    const texts = points.map((p) => `${number(p.expansionRatio)},${number(p.flow)},${number(p.efficiency)}`);
    return `${number(speedRpm)}: ${texts.sort().join(' ')}`;
  });
  return dataHash(['lugline turbine data 1', meaning, ...written.sort()].join('\n'));
}

/** The data as one text with everything in a fixed order. */
function canonicalData(sheet: MapSheet): string {
  const place = (p: { flow: number; pressureRatio: number; efficiency?: number | undefined }) =>
    `${number(p.flow)},${number(p.pressureRatio)},${number(p.efficiency)}`;
  const along = (points: Parameters<typeof place>[0][]) =>
    points
      .sort((a, b) => a.flow - b.flow || b.pressureRatio - a.pressureRatio)
      .map(place)
      .join(' ');
  const lines = sheet.speedLines.map((line) => `${number(line.speedRpm)}: ${along([...line.points])}`).sort();
  // The order of an island's points is its shape.
  const islands = (sheet.islands ?? [])
    .map((i) => `${number(i.efficiency)} ${i.closed ? 'closed' : 'open'}: ${i.points.map(place).join(' ')}`)
    .sort();
  return [
    'lugline map data 1',
    `reference ${number(sheet.reference.temperatureK)} ${number(sheet.reference.pressurePa)}`,
    `flow ${sheet.flowUnit}`,
    ...lines,
    `surge ${along([...(sheet.surgeLine ?? [])])}`,
    ...islands,
    `limit ${number(sheet.limits?.shaftSpeedRpm)}`,
    `wheel ${number(sheet.wheel?.inducerMm)} ${number(sheet.wheel?.exducerMm)}`,
  ].join('\n');
}

/** Twelve digits: more than anyone types, fewer than a conversion back and forth disturbs. */
function number(value: number | undefined): string {
  if (value === undefined) return '-';
  return Number.isFinite(value) ? String(Number(value.toPrecision(12)) + 0) : 'unreadable';
}

/** First 32 bits of the fractional parts of the cube roots of the first 64 primes (FIPS 180-4, 4.2.2), computed exactly enough in doubles. */
const { K, H0 } = constants();

function constants(): { K: Uint32Array; H0: Uint32Array } {
  const primes: number[] = [];
  for (let n = 2; primes.length < 64; n++) if (primes.every((p) => n % p !== 0)) primes.push(n);
  const fraction = (x: number) => Math.floor((x - Math.floor(x)) * 2 ** 32);
  return {
    K: Uint32Array.from(primes, (p) => fraction(Math.cbrt(p))),
    H0: Uint32Array.from(primes.slice(0, 8), (p) => fraction(Math.sqrt(p))),
  };
}

const rotate = (x: number, by: number): number => (x >>> by) | (x << (32 - by));

/**
 * SHA-256 of bytes. Written out here because crypto.subtle is asynchronous and absent from pages opened from a file.
 * Source: FIPS 180-4, sections 5.1.1 and 6.2.
 * @returns 32 bytes.
 */
export function sha256(message: Uint8Array): Uint8Array {
  const blocks = padded(message);
  const hash = Uint32Array.from(H0);
  const w = new Uint32Array(64);
  for (let at = 0; at < blocks.byteLength; at += 64) {
    for (let t = 0; t < 16; t++) w[t] = blocks.getUint32(at + 4 * t);
    for (let t = 16; t < 64; t++) {
      const s0 = rotate(w[t - 15]!, 7) ^ rotate(w[t - 15]!, 18) ^ (w[t - 15]! >>> 3);
      const s1 = rotate(w[t - 2]!, 17) ^ rotate(w[t - 2]!, 19) ^ (w[t - 2]! >>> 10);
      w[t] = w[t - 16]! + s0 + w[t - 7]! + s1;
    }
    compress(hash, w);
  }
  const out = new DataView(new ArrayBuffer(32));
  hash.forEach((word, i) => {
    out.setUint32(4 * i, word);
  });
  return new Uint8Array(out.buffer);
}

function padded(message: Uint8Array): DataView {
  const length = message.length;
  const bytes = new Uint8Array(64 * Math.ceil((length + 9) / 64));
  bytes.set(message);
  bytes[length] = 0x80;
  const view = new DataView(bytes.buffer);
  view.setUint32(bytes.length - 8, Math.floor((length * 8) / 2 ** 32));
  view.setUint32(bytes.length - 4, (length * 8) >>> 0);
  return view;
}

function compress(hash: Uint32Array, w: Uint32Array): void {
  let [a, b, c, d, e, f, g, h] = hash as unknown as [number, number, number, number, number, number, number, number];
  for (let t = 0; t < 64; t++) {
    const s1 = rotate(e, 6) ^ rotate(e, 11) ^ rotate(e, 25);
    const t1 = (h + s1 + ((e & f) ^ (~e & g)) + K[t]! + w[t]!) | 0;
    const s0 = rotate(a, 2) ^ rotate(a, 13) ^ rotate(a, 22);
    const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + t1) | 0, c, b, a, (t1 + t2) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((value, i) => {
    hash[i]! += value;
  });
}
