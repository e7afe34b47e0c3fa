import { describe, expect, it } from 'vitest';
import { auditSheet, fitSurface } from '../../src/compressor/index.ts';
import type { CompletedSheet, SheetReading } from '../../src/reading/index.ts';
import { completeSheet, convertFlow, isClosedContour, proposeSpeeds } from '../../src/reading/index.ts';
import { sheetFlowFactor } from '../../src/units/index.ts';
import { readSheet as readAuditSheet } from '../compressor/audit-sheets.ts';
import { MACHINES } from '../machines/analytic-compressor.ts';
import { EXACT_MACHINES, KILOGRAMS, readSheet } from '../machines/read-sheet.ts';

const sheet = readSheet(EXACT_MACHINES[2]!, KILOGRAMS);
const base: SheetReading = {
  name: 'read',
  source: 'test',
  reference: sheet.reference,
  flowUnit: 'kg/s',
  lines: sheet.speedLines.map((l) => ({ label: { kind: 'rpm', value: l.speedRpm }, points: l.points })),
  surge: { kind: 'line-ends' },
  outletPressure: { kind: 'total' },
};

function made(result: CompletedSheet) {
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join(' '));
  return result;
}
const codes = (result: CompletedSheet) => (result.ok ? result.assumed : result.problems).map((a) => a.code);

describe('completing a sheet', () => {
  it('changes nothing where the sheet gives everything', () => {
    const result = made(completeSheet(base));
    expect(result.sheet.speedLines).toEqual(sheet.speedLines);
    expect(codes(result)).toEqual(['surge-from-line-ends', 'total-pressure', 'efficiency-from-points']);
  });

  it('turns percent into rev/min by the design speed, and asks for it', () => {
    const percent = {
      ...base,
      lines: base.lines.map((l, i) => ({ ...l, label: { kind: 'percent', value: 40 + 7.5 * i } as const })),
    };
    expect(codes(completeSheet(percent))).toEqual(['no-design-speed']);
    // NASA HECC (data archive, 14 April 2023): 100 % is 21,789 rpm, and its file gives 99.977 % at 21,784 rpm.
    const hecc = made(
      completeSheet({
        ...percent,
        designSpeedRpm: 21_789,
        lines: [
          { label: { kind: 'percent', value: 99.977 }, points: base.lines[8]!.points },
          ...percent.lines.slice(0, 3),
        ],
      }),
    );
    expect(hecc.sheet.speedLines.at(-1)?.speedRpm).toBeCloseTo(21_784, 0);
    expect(codes(hecc)).toContain('percent-speeds');
    expect(codes(hecc)).toContain('lines-ordered');
  });

  it('puts a single efficiency at its point, on its line or apart', () => {
    const bare = {
      ...base,
      lines: base.lines.map((l) => ({
        ...l,
        points: l.points.map(({ flow, pressureRatio }) => ({ flow, pressureRatio })),
      })),
    };
    const [a, b] = bare.lines[4]!.points.slice(2, 4) as [
      { flow: number; pressureRatio: number },
      { flow: number; pressureRatio: number },
    ];
    const other = bare.lines[5]!.points[2]!;
    const between = { flow: (a.flow + other.flow) / 2, pressureRatio: (a.pressureRatio + other.pressureRatio) / 2 };
    const result = made(
      completeSheet({
        ...bare,
        efficiencyReadings: [
          { ...a, efficiency: 0.71 },
          { flow: (a.flow + b.flow) / 2, pressureRatio: (a.pressureRatio + b.pressureRatio) / 2, efficiency: 0.72 },
          { ...between, efficiency: 0.73 },
        ],
      }),
    );
    const line = result.sheet.speedLines[4]!;
    expect(line.points).toHaveLength(bare.lines[4]!.points.length + 1);
    expect(line.points[2]?.efficiency).toBe(0.71);
    expect(line.points[3]?.efficiency).toBe(0.72);
    expect(result.sheet.islands).toEqual([{ efficiency: 0.73, closed: false, points: [between] }]);
    expect(codes(result)).toEqual(
      expect.arrayContaining(['efficiency-placed-on-line', 'efficiency-kept-apart', 'efficiency-from-both']),
    );
  });

  it('judges islands by their shape: closed, or cut by the edge', () => {
    const islands = readAuditSheet(MACHINES[0]!, { islands: true, points: 12, lines: 10 }).islands ?? [];
    const scale = { flow: 0.2, pressureRatio: 4 };
    const circle = Array.from({ length: 14 }, (_, i) => ({
      flow: 0.1 + 0.03 * Math.cos((i * 2 * Math.PI) / 14),
      pressureRatio: 2 + 0.4 * Math.sin((i * 2 * Math.PI) / 14),
    }));
    expect(isClosedContour(circle, scale)).toBe(true);
    expect(isClosedContour(circle.slice(0, 10), scale)).toBe(false);
    expect(isClosedContour(circle.slice(0, 3), scale)).toBe(false);
    const result = made(
      completeSheet({
        ...base,
        islands: [
          { efficiency: 0.7, points: circle },
          { efficiency: 0.65, points: circle.slice(0, 9) },
        ],
      }),
    );
    expect(result.sheet.islands?.map((i) => i.closed)).toEqual([true, false]);
    expect(codes(result)).toEqual(expect.arrayContaining(['island-judged-closed', 'island-judged-open']));
    expect(islands.length).toBeGreaterThan(0);
  });

  it('keeps a drawn surge line, and takes volume flow at the reference state', () => {
    const surge = base.lines.map((l) => ({ flow: l.points[0]!.flow, pressureRatio: l.points[0]!.pressureRatio }));
    const result = made(completeSheet({ ...base, flowUnit: 'm3/s', surge: { kind: 'line', points: surge } }));
    expect(result.sheet.surgeLine).toEqual(surge);
    expect(codes(result)).toEqual(expect.arrayContaining(['surge-drawn', 'volume-flow']));
  });

  it('refuses without a reference state, or with a label that is no speed', () => {
    expect(codes(completeSheet({ ...base, reference: { temperatureK: 0, pressurePa: 1e5 } }))).toEqual([
      'reference-not-positive',
    ]);
    const bad = {
      ...base,
      lines: [{ ...base.lines[0]!, label: { kind: 'rpm', value: Number.NaN } as const }, ...base.lines.slice(1)],
    };
    expect(codes(completeSheet(bad))).toEqual(['speed-not-positive']);
  });
});

describe('static outlet pressure', () => {
  const fixed = (diameterMm?: number): SheetReading => ({
    ...base,
    outletPressure: { kind: 'static', outletDiameterMm: diameterMm },
  });

  it('is refused without a diameter and with one that cannot carry the flow', () => {
    expect(codes(completeSheet(fixed()))).toEqual(['no-outlet-diameter']);
    expect(new Set(codes(completeSheet(fixed(12))))).toEqual(new Set(['outlet-choked']));
  });

  it('raises every pressure ratio, most where flow is large, and says by how much at most', () => {
    const result = made(completeSheet(fixed(45)));
    const rises = result.sheet.speedLines.map((l, i) =>
      l.points.map((p, k) => p.pressureRatio / base.lines[i]!.points[k]!.pressureRatio - 1),
    );
    for (const line of rises) {
      for (const rise of line) expect(rise).toBeGreaterThan(0);
      expect(line.at(-1)).toBeGreaterThan(line[0]!);
    }
    const most = Math.max(...rises.flat());
    expect(result.assumed.find((a) => a.code === 'static-to-total')?.message).toContain(`${(100 * most).toFixed(1)} %`);
    expect(fitSurface(result.sheet).hasEfficiency).toBe(true);
    expect(auditSheet(result.sheet).filter((f) => f.severity === 'error')).toEqual([]);
  });
});

describe('speeds for lines without a label', () => {
  /** Largest error and the largest error over the uncertainty that was given, over all machines. */
  function errors(anchors: readonly number[]) {
    const off: number[] = [];
    const times: number[] = [];
    for (const machine of EXACT_MACHINES) {
      const read = readSheet(machine, KILOGRAMS);
      const proposed = proposeSpeeds({
        lines: read.speedLines.map((l, i) => ({ speedRpm: anchors.includes(i) ? l.speedRpm : null, points: l.points })),
        referenceTemperatureK: 298.15,
      });
      for (const p of proposed ?? []) {
        const by = Math.abs(p.speedRpm / read.speedLines[p.line]!.speedRpm - 1);
        off.push(by);
        times.push(by / p.uncertainty);
      }
    }
    const rms = (v: readonly number[]) => Math.hypot(...v) / Math.sqrt(v.length);
    return { most: Math.max(...off), times: rms(times), count: off.length };
  }

  it('come within what they claim on every machine, from one label, two, or every third', () => {
    for (const anchors of [[8], [4], [0], [0, 8], [2, 5], [0, 3, 6, 8]]) {
      const { most, times, count } = errors(anchors);
      console.log(
        `anchors ${anchors}: worst ${(100 * most).toFixed(2)} %, rms of error over uncertainty ${times.toFixed(2)}`,
      );
      expect(count).toBe(EXACT_MACHINES.length * (9 - anchors.length));
      expect(times).toBeLessThan(1.3);
    }
    expect(errors([0, 3, 6, 8]).most).toBeLessThan(0.02);
  });

  it('can be guessed from the wheel alone, with a band of a tenth', () => {
    for (const shape of MACHINES) {
      const read = readAuditSheet(shape);
      const proposed = proposeSpeeds({
        lines: read.speedLines.map((l) => ({ speedRpm: null, points: l.points })),
        exducerMm: shape.exducerM * 1000,
        referenceTemperatureK: 298.15,
      });
      for (const p of proposed ?? []) {
        expect(p.uncertainty).toBeGreaterThan(0.05);
        expect(Math.abs(p.speedRpm / read.speedLines[p.line]!.speedRpm - 1)).toBeLessThan(3 * p.uncertainty);
      }
      expect(proposed).toHaveLength(read.speedLines.length);
    }
  });

  it('are not made up where nothing anchors them', () => {
    const lines = base.lines.map((l) => ({ ...l, label: { kind: 'none' } as const }));
    expect(
      proposeSpeeds({ lines: lines.map((l) => ({ speedRpm: null, points: l.points })), referenceTemperatureK: 298 }),
    ).toBeNull();
    expect(codes(completeSheet({ ...base, lines }))).toEqual(['cannot-propose-speeds']);
    const one = lines.map((l, i) => (i === 6 ? { ...l, label: base.lines[6]!.label } : l));
    const result = made(completeSheet({ ...base, lines: one }));
    expect(result.assumed.filter((a) => a.code === 'speeds-proposed')).toHaveLength(lines.length - 1);
    expect(result.sheet.speedLines.map((l) => l.points[0])).toEqual(sheet.speedLines.map((l) => l.points[0]));
  });
});

it('flow converts between mass and volume by the density of dry air at the reference', () => {
  // By hand: 100000 / (287.05 * 298.15) = 100000 / 85583.96 = 1.16844 kg/m3.
  const reference = { temperatureK: 298.15, pressurePa: 100_000 };
  expect(convertFlow(1, 'm3/s', 'kg/s', reference)).toBeCloseTo(1.16844, 5);
  expect(convertFlow(1, 'lb/min', 'kg/s', reference)).toBeCloseTo(0.45359237 / 60, 12);
  expect(convertFlow(convertFlow(7, 'cfm', 'lb/min', reference), 'lb/min', 'cfm', reference)).toBeCloseTo(7, 12);
  expect(sheetFlowFactor('kg/s', reference)).toBe(1);
});
