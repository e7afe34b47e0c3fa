import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { paginate, spacedRows } from '../../../src/views/sheet/model/paper.ts';

const bands = fc.array(fc.record({ heightPx: fc.integer({ min: 1, max: 120 }), mayMoveUp: fc.boolean() }), {
  minLength: 1,
  maxLength: 14,
});

describe('pages', () => {
  it('hold every band once, none of them more than it has room for', () => {
    fc.assert(
      fc.property(bands, (list) => {
        const named = list.map((band, i) => ({ ...band, key: `${i}` }));
        const pages = paginate(named, 120, 5);
        expect(pages.flatMap(({ keys }) => keys).sort()).toEqual(named.map(({ key }) => key).sort());
        for (const { keys, freePx } of pages) {
          const heights = keys.map((key) => named.find((band) => band.key === key)?.heightPx ?? 0);
          const used = heights.reduce((sum, height) => sum + height, 0) + 5 * (keys.length - 1);
          expect(freePx).toBe(120 - used);
          expect(freePx).toBeGreaterThanOrEqual(0);
        }
      }),
    );
  });

  it('keep the order of what may not move up', () => {
    fc.assert(
      fc.property(bands, (list) => {
        const named = list.map((band, i) => ({ ...band, key: `${i}` }));
        const fixed = paginate(named, 120, 5)
          .flatMap(({ keys }) => keys)
          .filter((key) => named[Number(key)]?.mayMoveUp === false)
          .map(Number);
        expect(fixed).toEqual(fixed.toSorted((a, b) => a - b));
      }),
    );
  });

  it('a movable band fills what the next one leaves (hand calculation: 60 + 5 + 50 of 120)', () => {
    const three = [
      { key: 'a', heightPx: 60 },
      { key: 'b', heightPx: 80 },
      { key: 'c', heightPx: 50, mayMoveUp: true },
    ];
    expect(paginate(three, 120, 5)).toEqual([
      { keys: ['a', 'c'], freePx: 5 },
      { keys: ['b'], freePx: 40 },
    ]);
  });

  it('a band higher than a page stands alone, and the page says by how much it is too high', () => {
    expect(paginate([{ key: 'a', heightPx: 130 }], 120, 5)).toEqual([{ keys: ['a'], freePx: -10 }]);
  });
});

describe('rows of a table with little room', () => {
  const speeds = Array.from({ length: 19 }, (_, i) => 2000 + 250 * i);

  it('are all of them where they fit, else those at round engine speeds with both ends', () => {
    expect(spacedRows(speeds, 19)).toHaveLength(19);
    expect(spacedRows(speeds, 10).map((i) => speeds[i])).toEqual([
      2000, 2500, 3000, 3500, 4000, 4500, 5000, 5500, 6000, 6500,
    ]);
    expect(spacedRows(speeds, 6).map((i) => speeds[i])).toEqual([2000, 3000, 4000, 5000, 6000, 6500]);
  });

  it('are never more than asked for, rising, with both ends, for any engine speeds', () => {
    const any = fc.uniqueArray(fc.integer({ min: 500, max: 12_000 }), { minLength: 2, maxLength: 80 });
    fc.assert(
      fc.property(any, fc.integer({ min: 2, max: 30 }), (list, most) => {
        const rising = list.toSorted((a, b) => a - b);
        const picked = spacedRows(rising, most);
        expect(picked.length).toBeLessThanOrEqual(most);
        expect(picked).toEqual(picked.toSorted((a, b) => a - b));
        expect([picked[0], picked.at(-1)]).toEqual([0, rising.length - 1]);
      }),
    );
  });
});
