import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { auditSheet } from '../../src/compressor/audit.ts';
import type { Island, MapSheet, SheetPoint } from '../../src/compressor/types.ts';
import { AnalyticCompressor, MACHINES } from '../machines/analytic-compressor.ts';
import { nasaSheet, readSheet } from './audit-sheets.ts';

/** A closed contour drawn by hand around the middle of the map: an ellipse over speed and beta, rounded as a person would. */
function closedIsland(efficiency: number, size: number): Island {
  const machine = new AnalyticCompressor(MACHINES[5]!);
  const points = Array.from({ length: 16 }, (_, i) => {
    const angle = (i * Math.PI) / 8;
    const p = machine.at(
      machine.topSpeedRpm * (0.72 + 0.2 * size * Math.sin(angle)),
      0.4 + 0.35 * size * Math.cos(angle),
    )!;
    return { flow: Number(p.correctedMassFlowKgPerS.toFixed(3)), pressureRatio: Number(p.pressureRatio.toFixed(2)) };
  });
  return { efficiency, closed: true, points };
}

/** Analytic machine read at 8 lines of 9 points, with point efficiencies AND islands, surge line, limit and wheel. */
const GOOD: MapSheet = {
  ...readSheet(MACHINES[5]!, {}),
  islands: [
    ...readSheet(MACHINES[5]!, { islands: true }).islands!.slice(0, 1),
    closedIsland(0.78, 0.7),
    closedIsland(0.8, 0.4),
  ],
};

type Lines = MapSheet['speedLines'];

function withLine(index: number, change: (line: Lines[number]) => Lines[number]): MapSheet {
  return { ...GOOD, speedLines: GOOD.speedLines.map((l, i) => (i === index ? change(l) : l)) };
}
function withPoint(line: number, point: number, change: Partial<SheetPoint>): MapSheet {
  return withLine(line, (l) => ({ ...l, points: l.points.map((p, i) => (i === point ? { ...p, ...change } : p)) }));
}
function withSpeed(line: number, speedRpm: number): MapSheet {
  return withLine(line, (l) => ({ ...l, speedRpm }));
}
const point = (line: number, at: number): SheetPoint => GOOD.speedLines[line]!.points[at]!;
const speed = (line: number): number => GOOD.speedLines[line]!.speedRpm;
const island = (i: number, change: Partial<NonNullable<MapSheet['islands']>[number]>): MapSheet => ({
  ...GOOD,
  islands: GOOD.islands!.map((x, k) => (k === i ? { ...x, ...change } : x)),
});
const closedIslands = GOOD.islands!.flatMap((x, i) => (x.closed ? [i] : []));

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

interface Slip {
  code: string;
  sheet: MapSheet;
  severity: 'error' | 'warning' | 'note';
  place: object | undefined;
  says: RegExp;
}
const line = (index: number, at?: number) => ({
  part: 'speed-line',
  line: index,
  ...(at === undefined ? {} : { point: at }),
});

const SLIPS: Slip[] = [
  {
    code: 'lines-cross',
    // The line read too low by 24 % of its pressure ratio at surge, less and less towards choke.
    sheet: withLine(4, (l) => ({
      ...l,
      points: l.points.map((p, i) => ({
        ...p,
        pressureRatio: Number((p.pressureRatio * (0.76 + 0.03 * i)).toFixed(2)),
      })),
    })),
    severity: 'warning',
    place: { part: 'speed-line', line: 4 },
    says: /cross near .* kg\/s, pressure ratio/,
  },
  {
    code: 'doubles-back',
    sheet: withLine(3, (l) => ({ ...l, points: [0, 1, 2, 4, 3, 5, 6, 7, 8].map((i) => l.points[i]!) })),
    severity: 'warning',
    place: line(3, 4),
    says: /doubles back: the flow falls from/,
  },
  {
    code: 'points-unordered',
    sheet: withLine(3, (l) => ({ ...l, points: [5, 0, 7, 2, 8, 1, 6, 3, 4].map((i) => l.points[i]!) })),
    severity: 'note',
    place: line(3),
    says: /not in order from surge to choke/,
  },
  {
    code: 'speed-doubtful',
    sheet: withSpeed(4, Math.round(speed(4) * 1.08)),
    severity: 'warning',
    place: line(4),
    says: new RegExp(`put it near ${(Math.round(speed(4) / 1000) * 1000).toLocaleString('en')} rpm`),
  },
  {
    code: 'speed-twice',
    sheet: withSpeed(4, speed(3)),
    severity: 'warning',
    place: line(4),
    says: /Two lines stand at/,
  },
  {
    code: 'speed-missing',
    sheet: withSpeed(2, Number.NaN),
    severity: 'error',
    place: line(2),
    says: /Speed line 3 has no speed/,
  },
  {
    code: 'speed-unit',
    sheet: { ...GOOD, speedLines: GOOD.speedLines.map((l) => ({ ...l, speedRpm: l.speedRpm / 1000 })) },
    severity: 'warning',
    place: line(7),
    says: /thousands of rpm/,
  },
  {
    code: 'efficiency-doubtful',
    sheet: withPoint(2, 8, { efficiency: 0.21 }),
    severity: 'warning',
    place: line(2, 8),
    says: /0\.21 \(21 %\) is outside 0\.3 to 0\.9/,
  },
  {
    code: 'efficiency-impossible',
    sheet: withPoint(2, 4, { efficiency: 1.2 }),
    severity: 'error',
    place: line(2, 4),
    says: /not between 0 and 1/,
  },
  {
    code: 'efficiency-missing',
    sheet: withPoint(2, 4, { efficiency: Number.NaN }),
    severity: 'error',
    place: line(2, 4),
    says: /efficiency is not a number/,
  },
  {
    code: 'efficiency-in-percent',
    sheet: withPoint(2, 4, { efficiency: 74 }),
    severity: 'error',
    place: line(2, 4),
    says: /0\.74 is probably meant/,
  },
  {
    code: 'efficiency-stands-off',
    sheet: withPoint(2, 4, { efficiency: point(2, 4).efficiency! - 0.1 }),
    severity: 'warning',
    place: line(2, 4),
    says: /stands off its neighbours/,
  },
  {
    code: 'too-few-lines',
    sheet: { ...GOOD, speedLines: GOOD.speedLines.slice(0, 1) },
    severity: 'error',
    place: line(0),
    says: /Only one speed line/,
  },
  {
    code: 'few-lines',
    sheet: { ...GOOD, speedLines: GOOD.speedLines.slice(0, 4) },
    severity: 'warning',
    place: line(0),
    says: /Only 4 speed lines/,
  },
  {
    code: 'under-eight-lines',
    sheet: { ...GOOD, speedLines: GOOD.speedLines.slice(0, 7) },
    severity: 'note',
    place: line(0),
    says: /SAE J1826 has at least 8/,
  },
  {
    code: 'too-few-points',
    sheet: withLine(7, (l) => ({ ...l, points: l.points.slice(0, 1) })),
    severity: 'error',
    place: line(7),
    says: /has only one point/,
  },
  {
    code: 'few-points',
    sheet: withLine(7, (l) => ({ ...l, points: l.points.filter((_, i) => i % 4 === 0) })),
    severity: 'warning',
    place: line(7),
    says: /has only 3 points/,
  },
  {
    code: 'ratio-below-one',
    sheet: withPoint(3, 8, { pressureRatio: 0.9 }),
    severity: 'error',
    place: line(3, 8),
    says: /0\.9 is below 1/,
  },
  {
    code: 'ratio-missing',
    sheet: withPoint(3, 2, { pressureRatio: Number.NaN }),
    severity: 'error',
    place: line(3, 2),
    says: /pressure ratio is not a number/,
  },
  {
    code: 'flow-missing',
    sheet: withPoint(3, 2, { flow: Number.NaN }),
    severity: 'error',
    place: line(3, 2),
    says: /flow is not a number/,
  },
  {
    code: 'flow-not-positive',
    sheet: withPoint(3, 2, { flow: -0.1 }),
    severity: 'error',
    place: line(3, 2),
    says: /at -0\.1 kg\/s: the flow is not above zero/,
  },
  {
    code: 'point-stands-off',
    sheet: withPoint(5, 4, { pressureRatio: point(5, 4).pressureRatio - 0.4 }),
    severity: 'warning',
    place: line(5, 4),
    says: /stands off the curve/,
  },
  {
    code: 'island-outside',
    sheet: island(closedIslands[0]!, {
      points: GOOD.islands![closedIslands[0]!]!.points.map((p, i) => (i === 5 ? { ...p, flow: p.flow * 3 } : p)),
    }),
    severity: 'warning',
    place: { part: 'island', island: closedIslands[0], point: 5 },
    says: /lies outside the speed lines/,
  },
  {
    code: 'island-point-invalid',
    sheet: island(0, { points: GOOD.islands![0]!.points.map((p, i) => (i === 1 ? { ...p, flow: Number.NaN } : p)) }),
    severity: 'error',
    place: { part: 'island', island: 0, point: 1 },
    says: /Island 1, point 2/,
  },
  {
    code: 'island-short',
    sheet: island(0, { points: GOOD.islands![0]!.points.slice(0, 2) }),
    severity: 'warning',
    place: { part: 'island', island: 0 },
    says: /2 points/,
  },
  {
    code: 'island-probably-closed',
    sheet: island(closedIslands[0]!, {
      closed: false,
      points: [...GOOD.islands![closedIslands[0]!]!.points, GOOD.islands![closedIslands[0]!]!.points[0]!],
    }),
    severity: 'warning',
    place: { part: 'island', island: closedIslands[0] },
    says: /Mark it closed/,
  },
  {
    code: 'island-probably-open',
    sheet: island(
      GOOD.islands!.findIndex((x) => !x.closed),
      { closed: true },
    ),
    severity: 'warning',
    place: { part: 'island', island: GOOD.islands!.findIndex((x) => !x.closed) },
    says: /Mark it open/,
  },
  {
    code: 'efficiency-doubtful',
    sheet: island(0, { efficiency: 0.95 }),
    severity: 'warning',
    place: { part: 'island', island: 0 },
    says: /Island 1: the efficiency 0\.95/,
  },
  {
    code: 'surge-line-right',
    sheet: { ...GOOD, surgeLine: GOOD.surgeLine!.map((p, i) => (i === 4 ? { ...p, flow: p.flow * 1.12 } : p)) },
    severity: 'warning',
    place: { part: 'surge-line', point: 4 },
    says: /cuts the .* line/,
  },
  {
    code: 'surge-line-far',
    sheet: { ...GOOD, surgeLine: GOOD.surgeLine!.map((p) => ({ ...p, flow: p.flow * 0.5 })) },
    severity: 'warning',
    place: { part: 'speed-line', line: 7 },
    says: /far right of the surge line/,
  },
  {
    code: 'surge-line-not-rising',
    sheet: { ...GOOD, surgeLine: GOOD.surgeLine!.map((p, i) => (i === 4 ? { ...p, pressureRatio: 1.2 } : p)) },
    severity: 'warning',
    place: { part: 'surge-line', point: 4 },
    says: /does not rise steadily/,
  },
  {
    code: 'surge-point-invalid',
    sheet: { ...GOOD, surgeLine: GOOD.surgeLine!.map((p, i) => (i === 4 ? { ...p, flow: Number.NaN } : p)) },
    severity: 'error',
    place: { part: 'surge-line', point: 4 },
    says: /Surge line, point 5/,
  },
  {
    code: 'surge-line-short',
    sheet: { ...GOOD, surgeLine: GOOD.surgeLine!.slice(0, 1) },
    severity: 'warning',
    place: { part: 'surge-line', point: 0 },
    says: /only one point/,
  },
  {
    code: 'no-surge-line',
    sheet: { ...GOOD, surgeLine: undefined },
    severity: 'note',
    place: { part: 'surge-line' },
    says: /taken as surge/,
  },
  {
    code: 'no-reference',
    sheet: { ...GOOD, reference: { temperatureK: Number.NaN, pressurePa: 100000 } },
    severity: 'error',
    place: { part: 'reference' },
    says: /No reference state/,
  },
  {
    code: 'reference-temperature',
    sheet: { ...GOOD, reference: { temperatureK: 25, pressurePa: 100000 } },
    severity: 'warning',
    place: { part: 'reference' },
    says: /degrees as kelvin/,
  },
  {
    code: 'reference-pressure',
    sheet: { ...GOOD, reference: { temperatureK: 298.15, pressurePa: 14.7 } },
    severity: 'warning',
    place: { part: 'reference' },
    says: /unusual/,
  },
  {
    code: 'flow-unit-doubtful',
    sheet: { ...readSheet(MACHINES[5]!, { unit: 'lb/min' }), flowUnit: 'kg/s' },
    severity: 'warning',
    place: { part: 'reference' },
    says: /As lb\/min it would fit/,
  },
  {
    code: 'limit-below-top',
    sheet: { ...GOOD, limits: { shaftSpeedRpm: speed(7) * 0.9 } },
    severity: 'warning',
    place: { part: 'limits' },
    says: /below the highest line/,
  },
  {
    code: 'limit-high',
    sheet: { ...GOOD, limits: { shaftSpeedRpm: speed(7) * 1.6 } },
    severity: 'warning',
    place: { part: 'limits' },
    says: /one and a half times/,
  },
  {
    code: 'limit-invalid',
    sheet: { ...GOOD, limits: { shaftSpeedRpm: Number.NaN } },
    severity: 'warning',
    place: { part: 'limits' },
    says: /not a number/,
  },
  {
    code: 'no-limit',
    sheet: { ...GOOD, limits: {} },
    severity: 'note',
    place: { part: 'limits' },
    says: /no speed margin/,
  },
  {
    code: 'no-wheel',
    sheet: { ...GOOD, wheel: undefined },
    severity: 'note',
    place: { part: 'wheel' },
    says: /tip speed and trim/,
  },
  {
    code: 'wheel-swapped',
    sheet: { ...GOOD, wheel: { inducerMm: 76, exducerMm: 57.5 } },
    severity: 'warning',
    place: { part: 'wheel' },
    says: /swapped/,
  },
  {
    code: 'wheel-invalid',
    sheet: { ...GOOD, wheel: { exducerMm: Number.NaN } },
    severity: 'warning',
    place: { part: 'wheel' },
    says: /exducer diameter is not a number/,
  },
  {
    code: 'tip-speed',
    sheet: { ...GOOD, wheel: { exducerMm: 96 } },
    severity: 'warning',
    place: { part: 'wheel' },
    says: /tip speed of 70\d m\/s/,
  },
  {
    code: 'wheel-doubtful',
    sheet: { ...GOOD, wheel: { exducerMm: 48 } },
    severity: 'warning',
    place: { part: 'wheel' },
    says: /head coefficient/,
  },
  {
    code: 'no-efficiency',
    sheet: {
      ...GOOD,
      islands: undefined,
      speedLines: GOOD.speedLines.map((l) => ({
        ...l,
        points: l.points.map(({ flow, pressureRatio }) => ({ flow, pressureRatio })),
      })),
    },
    severity: 'note',
    place: undefined,
    says: /outlet temperature/,
  },
];

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

  it('takes under 1 ms for a usual sheet (8 lines of 9 points, islands), since it follows every keystroke', () => {
    for (let i = 0; i < 300; i++) auditSheet(GOOD);
    const times = Array.from({ length: 200 }, () => {
      const from = performance.now();
      auditSheet(GOOD);
      return performance.now() - from;
    }).sort((a, b) => a - b);
    expect(times[100]).toBeLessThan(1);
  });
});
