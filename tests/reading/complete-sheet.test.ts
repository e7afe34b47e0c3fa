import { describe, expect, it } from 'vitest';
import { draftToSheet, lineSpeed, type MapDraft, sheetToDraft } from '../../src/build/index.ts';
import { auditSheet, fitSurface } from '../../src/compressor/index.ts';
import type { MapSheet } from '../../src/compressor/types.ts';
import { correctOutlet, isClosedContour, placeEfficiencies, proposeSpeeds } from '../../src/reading/index.ts';
import { sheetFlowFactor } from '../../src/units/index.ts';
import { readSheet as readAuditSheet } from '../compressor/audit-sheets.ts';
import { MACHINES } from '../machines/analytic-compressor.ts';
import { EXACT_MACHINES, KILOGRAMS, readSheet } from '../machines/read-sheet.ts';

const sheet = readSheet(EXACT_MACHINES[2]!, KILOGRAMS);
const asDraft = (changed: Partial<MapDraft>): MapDraft => ({ ...sheetToDraft(sheet, 'read'), ...changed });
const codes = (draft: MapDraft) => draftToSheet(draft).problems.map(({ code }) => code);

describe('completing a sheet', () => {
  it('changes nothing where the sheet gives everything', () => {
    expect(placeEfficiencies(sheet, [])).toEqual({ sheet, assumed: [] });
  });

  it('turns percent into rev/min by the design speed, and asks for it', () => {
    expect(lineSpeed('47.5 %', undefined)).toEqual({ ok: false, reason: 'no-design-speed' });
    // NASA HECC (data archive, 14 April 2023): 100 % is 21,789 rpm, and its file gives 99.977 % at 21,784 rpm.
    const habits: MapDraft['habits'] = {
      designSpeed: { text: '21789', unit: 'rpm' },
      outletPressure: 'total',
      outletDiameter: { text: '', unit: 'mm' },
    };
    const hecc = lineSpeed('99.977 %', habits);
    expect(hecc.ok ? hecc.rpm : 0).toBeCloseTo(21_784, 0);
  });

  it('puts the lines in order of rising speed', () => {
    const back = { ...sheet, speedLines: sheet.speedLines.toReversed() };
    expect(placeEfficiencies(back, []).sheet.speedLines).toEqual(sheet.speedLines);
  });

  it('puts a single efficiency at its point, on its line or apart', () => {
    const bare: MapSheet = {
      ...sheet,
      speedLines: sheet.speedLines.map((l) => ({
        ...l,
        points: l.points.map(({ flow, pressureRatio }) => ({ flow, pressureRatio })),
      })),
    };
    const [a, b] = bare.speedLines[4]!.points.slice(2, 4) as [
      { flow: number; pressureRatio: number },
      { flow: number; pressureRatio: number },
    ];
    const other = bare.speedLines[5]!.points[2]!;
    const between = { flow: (a.flow + other.flow) / 2, pressureRatio: (a.pressureRatio + other.pressureRatio) / 2 };
    const result = placeEfficiencies(bare, [
      { ...a, efficiency: 0.71 },
      { flow: (a.flow + b.flow) / 2, pressureRatio: (a.pressureRatio + b.pressureRatio) / 2, efficiency: 0.72 },
      { ...between, efficiency: 0.73 },
    ]);
    const line = result.sheet.speedLines[4]!;
    expect(line.points).toHaveLength(bare.speedLines[4]!.points.length + 1);
    expect(line.points[2]?.efficiency).toBe(0.71);
    expect(line.points[3]?.efficiency).toBe(0.72);
    expect(result.sheet.islands).toEqual([{ efficiency: 0.73, closed: false, points: [between] }]);
    expect(result.assumed).toEqual([
      '2 efficiency readings were put on the speed line that passes there.',
      '1 efficiency reading lies off every speed line and stands among the islands as a single point.',
    ]);
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
    expect(isClosedContour(circle.slice(0, 9), scale)).toBe(false);
    expect(isClosedContour(circle.slice(0, 3), scale)).toBe(false);
    expect(islands.length).toBeGreaterThan(0);
  });

  it('keeps a drawn surge line, and takes volume flow at the reference state', () => {
    const surgeLine = sheet.speedLines.map(({ points: [p] }) => ({ flow: p!.flow, pressureRatio: p!.pressureRatio }));
    expect(placeEfficiencies({ ...sheet, surgeLine }, []).sheet.surgeLine).toEqual(surgeLine);
    const factor = sheetFlowFactor('kg/s', sheet.reference) / sheetFlowFactor('m3/s', sheet.reference);
    const inVolume: MapSheet = {
      ...sheet,
      flowUnit: 'm3/s',
      speedLines: sheet.speedLines.map((l) => ({
        ...l,
        points: l.points.map((p) => ({ ...p, flow: p.flow * factor })),
      })),
    };
    const [mass, volume] = [sheet, inVolume].map((s) => correctOutlet(s, 45));
    if (!mass || !volume || 'problem' in mass || 'problem' in volume) throw new Error('not completed');
    const ratios = (s: MapSheet) => s.speedLines.flatMap((l) => l.points.map((p) => p.pressureRatio));
    ratios(mass.sheet).forEach((ratio, i) => {
      expect(ratios(volume.sheet)[i]).toBeCloseTo(ratio, 5);
    });
  });

  it('refuses without a reference state, or with a label that is no speed', () => {
    const { reference, speedLines } = asDraft({});
    const without = asDraft({ reference: { ...reference, temperature: { text: '0', unit: 'K' } } });
    expect(draftToSheet(without).ok).toBe(false);
    expect(codes(without)).toEqual(['no-reference-state']);
    expect(codes(asDraft({ speedLines: speedLines.with(0, { ...speedLines[0]!, speed: 'fast' }) }))).toEqual([
      'entry-left-out',
    ]);
  });
});

describe('static outlet pressure', () => {
  it('is refused with a diameter that cannot carry the flow', () => {
    expect(correctOutlet(sheet, 12)).toEqual({ problem: expect.stringContaining('An outlet of 12 mm cannot carry') });
  });

  it('raises every pressure ratio, most where flow is large, and says by how much at most', () => {
    const result = correctOutlet(sheet, 45);
    if ('problem' in result) throw new Error(result.problem);
    const rises = result.sheet.speedLines.map((l, i) =>
      l.points.map((p, k) => p.pressureRatio / sheet.speedLines[i]!.points[k]!.pressureRatio - 1),
    );
    for (const line of rises) {
      for (const rise of line) expect(rise).toBeGreaterThan(0);
      expect(line.at(-1)).toBeGreaterThan(line[0]!);
    }
    const most = Math.max(...rises.flat());
    expect(result.assumed[0]).toContain(`${(100 * most).toFixed(1)} %`);
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
    const lines = sheet.speedLines.map(({ points }) => ({ speedRpm: null as number | null, points }));
    expect(proposeSpeeds({ lines, referenceTemperatureK: 298 })).toBeNull();
    const one = lines.map((l, i) => (i === 6 ? { ...l, speedRpm: sheet.speedLines[6]!.speedRpm } : l));
    const proposed = proposeSpeeds({ lines: one, referenceTemperatureK: 298 });
    expect(proposed?.map(({ line }) => line)).toEqual([0, 1, 2, 3, 4, 5, 7, 8]);
    const rounded = proposed!.map(({ roundedRpm }) => roundedRpm);
    expect(rounded).toEqual(rounded.toSorted((a, b) => a - b));
  });
});

it('flow converts between mass and volume by the density of dry air at the reference', () => {
  // By hand: 100000 / (287.05 * 298.15) = 100000 / 85583.96 = 1.16844 kg/m3.
  const reference = { temperatureK: 298.15, pressurePa: 100_000 };
  expect(sheetFlowFactor('m3/s', reference)).toBeCloseTo(1.16844, 5);
  expect(sheetFlowFactor('lb/min', reference)).toBeCloseTo(0.45359237 / 60, 12);
  expect(sheetFlowFactor('cfm', reference)).toBeCloseTo((1.16844 * 0.3048 ** 3) / 60, 8);
  expect(sheetFlowFactor('kg/s', reference)).toBe(1);
});
