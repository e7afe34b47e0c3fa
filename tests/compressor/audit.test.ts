import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { auditSheet } from '../../src/compressor/audit.ts';
import type { MapSheet } from '../../src/compressor/types.ts';
import { MACHINES } from '../machines/analytic-compressor.ts';
import { nasaSheet, readSheet } from './audit-sheets.ts';
import { line, SLIPS } from './audit-slips.ts';
import { closedIslands, GOOD, island, point, speed, withPoint, withSpeed } from './good-sheet.ts';

describe('a good sheet', () => {
  it('gives no finding at all', () => {
    expect(auditSheet(GOOD)).toEqual([]);
    expect(closedIslands.length).toBeGreaterThan(0);
  });
  it.each(MACHINES.map((m) => [m.name, m] as const))(
    'of the %s machine gives none at any reading density or unit',
    (_, m) => {
      for (const [points, lines] of [
        [6, 8],
        [9, 8],
        [14, 12],
      ] as const) {
        for (const unit of ['kg/s', 'cfm'] as const)
          expect(auditSheet(readSheet(m, { points, lines, unit }))).toEqual([]);
      }
      expect(auditSheet(readSheet(m, { unit: 'lb/min', islands: true }))).toEqual([]);
    },
  );
});

describe('one slip on a good sheet', () => {
  it.each(SLIPS.map((s) => [s.code, s] as const))('is found: %s', (code, slip) => {
    const found = auditSheet(slip.sheet);
    const finding = found.find((f) => f.code === code);
    expect(finding, found.map((f) => `${f.code}: ${f.message}`).join('\n') || 'nothing found').toBeDefined();
    expect(finding!.severity).toBe(slip.severity);
    expect(finding!.message).toMatch(slip.says);
    if (slip.place) expect(finding!.place).toMatchObject(slip.place);
    else expect(finding!.place).toBeUndefined();
    // One slip must not drown the user: at most its own finding and two that follow from it.
    expect(found.length, found.map((f) => f.message).join('\n')).toBeLessThanOrEqual(3);
  });

  it('names crossing islands and swapped island values', () => {
    const [a, b] = closedIslands;
    expect(b).toBeDefined();
    const swapped = {
      ...GOOD,
      islands: GOOD.islands!.map((x, i) =>
        i === a
          ? { ...x, efficiency: GOOD.islands![b!]!.efficiency }
          : i === b
            ? { ...x, efficiency: GOOD.islands![a!]!.efficiency }
            : x,
      ),
    };
    expect(auditSheet(swapped).map((f) => f.code)).toContain('islands-swapped');
    const moved = island(b!, {
      points: GOOD.islands![b!]!.points.map((p) => ({ flow: p.flow * 1.25, pressureRatio: p.pressureRatio })),
    });
    expect(auditSheet(moved).map((f) => f.code)).toContain('islands-cross');
  });

  it('names two swapped speeds, each with the speed that would fit', () => {
    const swapped = {
      ...GOOD,
      speedLines: GOOD.speedLines.map((l, i) =>
        i === 3 ? { ...l, speedRpm: speed(4) } : i === 4 ? { ...l, speedRpm: speed(3) } : l,
      ),
    };
    const found = auditSheet(swapped);
    expect(found.map((f) => f.code).filter((c) => c.startsWith('speed-')).length).toBeGreaterThanOrEqual(1);
    expect(found.every((f) => f.place?.part === 'speed-line' && (f.place.line === 3 || f.place.line === 4))).toBe(true);
  });

  it('blames the typed slip, not its neighbours: any inner point of any line, pressure ratio typed a tenth or more off the map scale', () => {
    for (let l = 2; l < 8; l++) {
      for (let p = 2; p < 7; p++) {
        const found = auditSheet(withPoint(l, p, { pressureRatio: point(l, p).pressureRatio + 0.8 }));
        const named = found.filter((f) => f.code === 'point-stands-off').map((f) => f.place);
        expect(named, `line ${l} point ${p}`).toEqual([line(l, p)]);
      }
    }
  });

  it('finds an 8 % speed slip on every line, and names that line alone', () => {
    for (let l = 0; l < 8; l++) {
      for (const factor of [0.9, 1.09]) {
        const found = auditSheet(withSpeed(l, Math.round(speed(l) * factor))).filter(
          (f) => f.code === 'speed-doubtful',
        );
        expect(
          found.map((f) => f.place),
          `line ${l} x ${factor}`,
        ).toEqual([line(l)]);
      }
    }
  });
});

describe("NASA's measured map (NASA HECC data archive 2023, vaned diffuser)", () => {
  it('gives no error, and no warning once its points are sorted along the line', () => {
    const sheet = nasaSheet();
    expect(auditSheet(sheet).filter((f) => f.severity === 'error')).toEqual([]);
    const sorted: MapSheet = {
      ...sheet,
      speedLines: sheet.speedLines.map((l) => ({
        ...l,
        points: [...l.points].sort((a, b) => a.flow / 60 - a.pressureRatio - b.flow / 60 + b.pressureRatio),
      })),
    };
    expect(auditSheet(sorted).map((f) => f.code)).toEqual(['under-eight-lines', 'no-surge-line', 'no-limit']);
  });
});

describe('sheets read with ordinary care', () => {
  /** Reproducible normal deviates (linear congruential, Box-Muller). */
  function normal(): () => number {
    let state = 1;
    const next = () => {
      state = (state * 1664525 + 1013904223) % 4294967296;
      return (state + 1) / 4294967297;
    };
    return () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
  }
  it('raise a false alarm in fewer than one of ten: reading tolerance 1 % of flow and 0.5 % of pressure ratio at two sigma', () => {
    const deviate = normal();
    let sheets = 0;
    let alarmed = 0;
    for (const machine of MACHINES) {
      for (const points of [6, 8, 10, 14]) {
        const exact = readSheet(machine, { points });
        for (let k = 0; k < 8; k++) {
          const read = exact.speedLines.map((l) => ({
            ...l,
            points: l.points.map((p) => ({
              flow: p.flow * (1 + 0.005 * deviate()),
              pressureRatio: p.pressureRatio * (1 + 0.0025 * deviate()),
              efficiency: p.efficiency! + 0.005 * deviate(),
            })),
          }));
          sheets++;
          if (auditSheet({ ...exact, speedLines: read }).some((f) => f.severity !== 'note')) alarmed++;
        }
      }
    }
    expect(alarmed / sheets).toBeLessThan(0.1);
  });
});

const anything = fc.oneof(
  fc.double(),
  fc.constantFrom(0, -1, 1, Number.NaN, Infinity, 1e-300, 1e300),
  fc.double({ min: 0, max: 5, noNaN: true }),
);
const pair = fc.record({ flow: anything, pressureRatio: anything });
const randomSheet: fc.Arbitrary<MapSheet> = fc.record({
  format: fc.constant('lugline-map' as const),
  version: fc.constant(1 as const),
  name: fc.string(),
  source: fc.string(),
  reference: fc.record({ temperatureK: anything, pressurePa: anything }),
  flowUnit: fc.constantFrom('kg/s' as const, 'lb/min' as const, 'm3/s' as const, 'cfm' as const),
  speedLines: fc.array(
    fc.record({
      speedRpm: anything,
      points: fc.array(
        fc.record({ flow: anything, pressureRatio: anything, efficiency: fc.option(anything, { nil: undefined }) }),
        { maxLength: 9 },
      ),
    }),
    { maxLength: 7 },
  ),
  surgeLine: fc.option(fc.array(pair, { maxLength: 6 }), { nil: undefined }),
  islands: fc.option(
    fc.array(fc.record({ efficiency: anything, closed: fc.boolean(), points: fc.array(pair, { maxLength: 7 }) }), {
      maxLength: 4,
    }),
    { nil: undefined },
  ),
  limits: fc.option(fc.record({ shaftSpeedRpm: fc.option(anything, { nil: undefined }) }), { nil: undefined }),
  wheel: fc.option(
    fc.record({
      inducerMm: fc.option(anything, { nil: undefined }),
      exducerMm: fc.option(anything, { nil: undefined }),
    }),
    { nil: undefined },
  ),
});

describe('any sheet at all', () => {
  it('never throws, never prints NaN, and lists errors before warnings before notes', () => {
    const rank = { error: 0, warning: 1, note: 2 };
    fc.assert(
      fc.property(randomSheet, (sheet) => {
        const found = auditSheet(sheet);
        const ranks = found.map((f) => rank[f.severity]);
        expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
        for (const f of found) expect(f.message).not.toMatch(/NaN|Infinity|undefined|null/);
      }),
      { numRuns: 3000 },
    );
  });

  it('does not change when a line is read from choke to surge', () => {
    const reversed = { ...GOOD, speedLines: GOOD.speedLines.map((l) => ({ ...l, points: [...l.points].reverse() })) };
    expect(auditSheet(reversed)).toEqual([]);
  });

  it('reads each number of a sheet some few times only, however many there are, since it follows every keystroke', () => {
    // How long a usual sheet takes is measured in tests/bench.
    const readings = (sheet: MapSheet) => {
      let count = 0;
      const counted = <T>(value: T): T =>
        typeof value !== 'object' || value === null
          ? value
          : (new Proxy(value, {
              get: (target, key) => {
                const inner: unknown = Reflect.get(target, key);
                if (typeof inner === 'number' && key !== 'length') count += 1;
                return counted(inner);
              },
            }) as T);
      auditSheet(counted(sheet));
      return count;
    };
    const numbers = 3 * GOOD.speedLines.reduce((sum, line) => sum + line.points.length, 0);
    const finer = {
      ...GOOD,
      speedLines: GOOD.speedLines.map((line) => ({ ...line, points: betweenAsWell(line.points) })),
    };
    expect(readings(GOOD)).toBeLessThan(12 * numbers);
    expect(readings(finer)).toBeLessThan(2.5 * readings(GOOD));
  });
});

/** The points with one more in the middle of each two. */
function betweenAsWell(points: MapSheet['speedLines'][number]['points']) {
  const middle = (a?: number, b?: number) => (a === undefined || b === undefined ? undefined : (a + b) / 2);
  return points.flatMap((p, i) => {
    const next = points[i + 1];
    if (next === undefined) return [p];
    const flow = (p.flow + next.flow) / 2;
    const pressureRatio = (p.pressureRatio + next.pressureRatio) / 2;
    const efficiency = middle(p.efficiency, next.efficiency);
    return [p, { flow, pressureRatio, ...(efficiency === undefined ? {} : { efficiency }) }];
  });
}
