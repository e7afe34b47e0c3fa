import { describe, expect, it } from 'vitest';
import type { MapSheet } from '../../src/compressor/types.ts';
import { mapHash, sha256 } from '../../src/reading/index.ts';
import { readSheet } from '../compressor/audit-sheets.ts';
import { MACHINES } from '../machines/analytic-compressor.ts';

const hex = (text: string) =>
  [...sha256(new TextEncoder().encode(text))].map((b) => b.toString(16).padStart(2, '0')).join('');

describe('SHA-256', () => {
  // FIPS 180-4 with its example messages (NIST, Cryptographic Standards, SHA256.pdf): one block, two blocks; and the empty message
  // (NIST CAVS, SHA256ShortMsg, length 0).
  it('gives the published digests', () => {
    expect(hex('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
    expect(hex('')).toBe('e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855');
    expect(hex('abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq')).toBe(
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    );
    // FIPS 180-2, appendix B.3: one million times the letter a.
    expect(hex('a'.repeat(1_000_000))).toBe('cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0');
  });

  it('agrees with the platform at every length around a block', async () => {
    for (const length of [54, 55, 56, 57, 63, 64, 65, 119, 120, 128]) {
      const bytes = Uint8Array.from({ length }, (_, i) => (i * 37 + length) & 255);
      expect([...sha256(bytes)]).toEqual([...new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))]);
    }
  });
});

describe("a map's hash", () => {
  const sheet = readSheet(MACHINES[0]!, { islands: true });

  it('is two groups of four signs, none of which is taken for another', () => {
    expect(mapHash(sheet)).toMatch(/^[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}$/);
  });

  it('does not mind the order of keys, lines and points, how numbers were written, name and source', () => {
    const reversed = <T extends object>(value: T): T => Object.fromEntries(Object.entries(value).reverse()) as T;
    const other: MapSheet = reversed({
      ...sheet,
      name: 'another name',
      source: 'someone else',
      invented: undefined,
      speedLines: [...sheet.speedLines].reverse().map((line) => ({
        points: [...line.points].reverse().map(reversed),
        speedRpm: Number(`${line.speedRpm / 1e3}e3`),
      })),
      surgeLine: sheet.surgeLine?.map((p) => ({ pressureRatio: p.pressureRatio, flow: (p.flow * 10) / 10 })),
    });
    expect(mapHash(other)).toBe(mapHash(sheet));
    expect(mapHash(JSON.parse(JSON.stringify(sheet)) as MapSheet)).toBe(mapHash(sheet));
  });

  it('changes with every number of the data', () => {
    const lines = (change: (p: MapSheet['speedLines'][number]['points'][number]) => object): MapSheet => ({
      ...sheet,
      speedLines: sheet.speedLines.map((line, i) =>
        i === 3 ? { ...line, points: line.points.map((p, k) => (k === 4 ? { ...p, ...change(p) } : p)) } : line,
      ),
    });
    const changed: MapSheet[] = [
      lines((p) => ({ flow: p.flow + 0.001 })),
      lines((p) => ({ pressureRatio: p.pressureRatio + 0.01 })),
      lines(() => ({ efficiency: 0.7 })),
      { ...sheet, flowUnit: 'm3/s' },
      { ...sheet, reference: { ...sheet.reference, temperatureK: 288.15 } },
      { ...sheet, limits: { shaftSpeedRpm: 1000 } },
      { ...sheet, wheel: { ...sheet.wheel, inducerMm: 1 } },
      { ...sheet, surgeLine: sheet.surgeLine?.slice(1) },
      { ...sheet, islands: sheet.islands?.map((i) => ({ ...i, closed: !i.closed })) },
      { ...sheet, speedLines: sheet.speedLines.slice(1) },
    ];
    expect(new Set([sheet, ...changed].map(mapHash)).size).toBe(changed.length + 1);
  });

  it('stays as it is: a match sheet printed today must name the same map next year (regression only)', () => {
    const small: MapSheet = {
      format: 'lugline-map',
      version: 1,
      name: '',
      source: '',
      reference: { temperatureK: 298.15, pressurePa: 100000 },
      flowUnit: 'kg/s',
      speedLines: [{ speedRpm: 90000, points: [{ flow: 0.05, pressureRatio: 1.42, efficiency: 0.68 }] }],
    };
    expect(mapHash(small)).toMatchInlineSnapshot(`"MWCN-ZQ6N"`);
  });
});
