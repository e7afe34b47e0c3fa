import { describe, expect, it } from 'vitest';
import type { Calibration, CalibrationPoint, DataPlace, PicturePlace } from '../../src/reading/index.ts';
import { calibrate, checkGrid, turbineHash } from '../../src/reading/index.ts';

const SIZE = { width: 2400, height: 1800 };

/** A turbine sheet: expansion ratio 1 to 3 across, flow 0 to 16 up; turned by an angle about the middle. */
const across =
  (degrees: number) =>
  ({ flow, pressureRatio }: DataPlace): PicturePlace => {
    const x = 300 + ((pressureRatio - 1) / 2) * 1900 - 1200;
    const y = 1500 - (flow / 16) * 1300 - 900;
    const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    return { x: 1200 + cos * x - sin * y, y: 900 + sin * x + cos * y };
  };

const axes = (at: (d: DataPlace) => PicturePlace): CalibrationPoint[] => [
  { place: at({ flow: 0, pressureRatio: 1 }), pressureRatio: 1 },
  { place: at({ flow: 0, pressureRatio: 3 }), pressureRatio: 3 },
  { place: at({ flow: 2, pressureRatio: 1 }), flow: 2 },
  { place: at({ flow: 16, pressureRatio: 1 }), flow: 16 },
];

function made(points: readonly CalibrationPoint[], mode: 'axes' | 'grid' = 'axes'): Calibration {
  const result = calibrate(points, mode, { picture: SIZE, sheet: 'turbine' });
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.calibration;
}

describe('a picture with the expansion ratio across and the flow up', () => {
  it.each([0, 3, -7, 90, 180])('is read both ways, turned by %d degrees', (degrees) => {
    const at = across(degrees);
    const calibration = made(axes(at));
    for (const data of [
      { flow: 1, pressureRatio: 1.2 },
      { flow: 11.3, pressureRatio: 2.4 },
    ]) {
      const read = calibration.toData(at(data));
      expect(read?.flow).toBeCloseTo(data.flow, 9);
      expect(read?.pressureRatio).toBeCloseTo(data.pressureRatio, 9);
      expect(calibration.toPicture(data)?.x).toBeCloseTo(at(data).x, 8);
      expect(calibration.toPicture(data)?.y).toBeCloseTo(at(data).y, 8);
    }
  });

  it('has the error of each value along its own axis', () => {
    // Half a pixel over the axis of 1,900 px for two units of ratio, full scale 3.2; over 1,300 px for 16 of flow.
    const { error } = made(axes(across(0)));
    expect(error.ratioShare).toBeGreaterThan(0.5 / 1900 / 3);
    expect(error.ratioShare).toBeLessThan(0.002);
    expect(error.flowShare).toBeGreaterThan(0.5 / 1300 / 2);
    expect(error.flowShare).toBeLessThan(0.002);
  });

  it('is not noted as running backwards while upright, and is where an axis does', () => {
    const codes = (at: (d: DataPlace) => PicturePlace) => made(axes(at)).notes.map(({ code }) => code);
    expect(codes(across(3)).filter((code) => /runs/.test(code))).toEqual([]);
    const mirrored = (d: DataPlace) => ({ x: 2400 - across(0)(d).x, y: across(0)(d).y });
    expect(codes(mirrored)).toContain('ratio-runs-left');
    const hanging = (d: DataPlace) => ({ x: across(0)(d).x, y: 1800 - across(0)(d).y });
    expect(codes(hanging)).toContain('flow-runs-down');
    expect(codes(hanging)).not.toContain('flow-runs-left');
  });

  it('speaks of the expansion ratio where something is missing', () => {
    const few = calibrate(axes(across(0)).slice(2), 'axes', { sheet: 'turbine' });
    expect(few.ok ? '' : few.problems[0]?.message).toMatch(/the expansion ratio axis has too few/);
    const half = calibrate([{ place: { x: 1, y: 1 }, flow: 2 }], 'grid', { sheet: 'turbine' });
    expect(half.ok ? '' : half.problems[0]?.message).toMatch(/both flow and expansion ratio/);
  });

  it('has its check grid where the values are', () => {
    const at = across(2);
    const lines = checkGrid(made(axes(at)), { from: 0, to: 16, step: 4 }, { from: 1, to: 3, step: 0.5 });
    const line = lines.find(({ of, value }) => of === 'pressureRatio' && value === 2);
    expect(line?.points[0]?.x).toBeCloseTo(at({ flow: 0, pressureRatio: 2 }).x, 6);
    expect(line?.points.at(-1)?.y).toBeCloseTo(at({ flow: 16, pressureRatio: 2 }).y, 6);
  });
});

describe('the hash of a turbine sheet', () => {
  const point = (expansionRatio: number, flow: number) => ({ expansionRatio, flow });
  const sheet = {
    flow: { kind: 'parameter', pressureUnit: 'kPa' } as const,
    lines: [
      { speedRpm: 2000, points: [point(1.5, 0.0118), point(2, 0.0137)] },
      { speedRpm: 3000, points: [point(1.6, 0.0115)] },
    ],
  };

  it('is the same whatever the order of lines and points', () => {
    const turned = {
      ...sheet,
      lines: sheet.lines.toReversed().map((line) => ({ ...line, points: line.points.toReversed() })),
    };
    expect(turbineHash(turned)).toBe(turbineHash(sheet));
    expect(turbineHash(sheet)).toMatch(/^[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}$/);
  });

  it('is another for another number, speed or meaning of the flow', () => {
    const hashes = [
      sheet,
      { ...sheet, flow: { kind: 'parameter', pressureUnit: 'bar' } as const },
      {
        ...sheet,
        flow: { kind: 'corrected', unit: 'kg/s', reference: { temperatureK: 288.15, pressurePa: 101325 } } as const,
      },
      { ...sheet, lines: sheet.lines.map((line) => ({ points: line.points })) },
      { ...sheet, lines: sheet.lines.with(1, { speedRpm: 3000, points: [point(1.6, 0.0116)] }) },
    ].map(turbineHash);
    expect(new Set(hashes).size).toBe(hashes.length);
  });
});
