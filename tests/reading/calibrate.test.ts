import { describe, expect, it } from 'vitest';
import type { Calibration, CalibrationPoint, DataPlace, PicturePlace } from '../../src/reading/index.ts';
import { calibrate, checkGrid, niceSteps } from '../../src/reading/index.ts';
import { seededRandom } from '../machines/random.ts';

const SIZE = { width: 2400, height: 1800 };

/** The truth of these tests: a chart of flow 0..0.5 and pressure ratio 1..4 in a 2,000 by 1,500 px frame, turned and skewed. */
function scan(turnDeg: number, skew = 0) {
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  return ({ flow, pressureRatio }: DataPlace): PicturePlace => {
    const x = 4000 * flow + skew * (pressureRatio - 1) * 500 - 1000;
    const y = -500 * (pressureRatio - 1) + 750;
    return { x: 1200 + c * x - s * y, y: 900 + s * x + c * y };
  };
}

/** A photo: the same chart seen from a slant. */
function photo({ flow, pressureRatio }: DataPlace): PicturePlace {
  const a = flow / 0.5;
  const b = (pressureRatio - 1) / 3;
  const w = 1 + 0.25 * a + 0.15 * b;
  return { x: (250 + 2200 * a + 120 * b) / w, y: (1650 - 60 * a - 1450 * b) / w };
}

function jitter(seed: number, px: number) {
  const random = seededRandom(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  return (place: PicturePlace): PicturePlace => ({ x: place.x + px * normal(), y: place.y + px * normal() });
}

const CORNERS: readonly DataPlace[] = [
  { flow: 0, pressureRatio: 1 },
  { flow: 0.5, pressureRatio: 1 },
  { flow: 0.5, pressureRatio: 4 },
  { flow: 0, pressureRatio: 4 },
];

function grid(truth: (d: DataPlace) => PicturePlace, at: readonly DataPlace[]): CalibrationPoint[] {
  return at.map((d) => ({ place: truth(d), ...d }));
}

function axes(truth: (d: DataPlace) => PicturePlace): CalibrationPoint[] {
  return [
    { place: truth({ flow: 0.05, pressureRatio: 1 }), flow: 0.05 },
    { place: truth({ flow: 0.45, pressureRatio: 1 }), flow: 0.45 },
    { place: truth({ flow: 0, pressureRatio: 1.5 }), pressureRatio: 1.5 },
    { place: truth({ flow: 0, pressureRatio: 4 }), pressureRatio: 4 },
  ];
}

function made(points: readonly CalibrationPoint[], mode: 'axes' | 'grid'): Calibration {
  const result = calibrate(points, mode, { picture: SIZE });
  if (!result.ok) throw new Error(result.problems.map((p) => p.message).join(' '));
  return result.calibration;
}

/** Largest error over the chart, shares of full scale. */
function worst(calibration: Calibration, truth: (d: DataPlace) => PicturePlace): number {
  let error = 0;
  for (let i = 0; i <= 10; i++)
    for (let j = 0; j <= 10; j++) {
      const data = { flow: 0.05 * i, pressureRatio: 1 + 0.3 * j };
      const read = calibration.toData(truth(data));
      if (!read) return Number.POSITIVE_INFINITY;
      error = Math.max(
        error,
        Math.abs(read.flow - data.flow) / 0.5,
        Math.abs(read.pressureRatio - data.pressureRatio) / 4,
      );
    }
  return error;
}

describe('two points on each axis', () => {
  it('read a scan that is shifted, turned and skewed exactly, though neither axis need stand at zero', () => {
    for (const truth of [scan(0), scan(3), scan(-7, 0.1), scan(91)]) {
      expect(worst(made(axes(truth), 'axes'), truth)).toBeLessThan(1e-9);
    }
  });

  it('give back the place of every value, and its value at every place', () => {
    const calibration = made(axes(scan(3, 0.05)), 'axes');
    for (const data of CORNERS) {
      const place = calibration.toPicture(data);
      expect(place).not.toBeNull();
      const back = place && calibration.toData(place);
      expect(back?.flow).toBeCloseTo(data.flow, 10);
      expect(back?.pressureRatio).toBeCloseTo(data.pressureRatio, 10);
    }
  });

  it('take grid points beside them: mixtures of both read the same chart', () => {
    const truth = scan(2);
    const [f1, f2, r1, r2] = axes(truth) as [CalibrationPoint, CalibrationPoint, CalibrationPoint, CalibrationPoint];
    const [origin, right, corner, top] = grid(truth, CORNERS) as [
      CalibrationPoint,
      CalibrationPoint,
      CalibrationPoint,
      CalibrationPoint,
    ];
    for (const points of [
      [f1, f2, r1, r2, corner],
      [f1, f2, origin, top],
      [r1, r2, origin, right],
      [origin, right, top],
      [origin, right, top, f1],
    ]) {
      expect(worst(made(points, 'axes'), truth)).toBeLessThan(1e-9);
    }
  });
});

describe('four grid points of a photo', () => {
  it('take the perspective out exactly', () => {
    expect(worst(made(grid(photo, CORNERS), 'grid'), photo)).toBeLessThan(1e-9);
  });

  // Hand calculation. A unit square seen as the trapezium (0,0) (1,0) (0.75,0.5) (0.25,0.5) = x = (a + b/2)/(1 + b), y = b/(1 + b):
  // a = b = 1 gives (1.5/2, 1/2); its middle a = b = 1/2 gives (0.75/1.5, 0.5/1.5) = (1/2, 1/3).
  it('agree with a trapezium worked by hand: the middle of the square lies at a third of the height', () => {
    const calibration = made(
      [
        { place: { x: 0, y: 0 }, flow: 0, pressureRatio: 0 },
        { place: { x: 1000, y: 0 }, flow: 1, pressureRatio: 0 },
        { place: { x: 750, y: 500 }, flow: 1, pressureRatio: 1 },
        { place: { x: 250, y: 500 }, flow: 0, pressureRatio: 1 },
      ],
      'grid',
    );
    const middle = calibration.toPicture({ flow: 0.5, pressureRatio: 0.5 });
    expect(middle?.x).toBeCloseTo(500, 8);
    expect(middle?.y).toBeCloseTo(1000 / 3, 8);
    // Where the diagonals of the trapezium cross: the middle of the square as well.
    const read = calibration.toData({ x: 500, y: 1000 / 3 });
    expect(read?.flow).toBeCloseTo(0.5, 10);
    expect(read?.pressureRatio).toBeCloseTo(0.5, 10);
    // The sides meet at (500, 1000): at and beyond the horizon there is nothing to read.
    expect(calibration.toData({ x: 500, y: 1000.5 })).toBeNull();
  });

  it('get better by a quarter and more with sixteen points instead of four', () => {
    const many = Array.from({ length: 16 }, (_, i) => ({ flow: (i % 4) / 6, pressureRatio: 1 + Math.floor(i / 4) }));
    const rms = (at: readonly DataPlace[]) => {
      let sum = 0;
      for (let seed = 1; seed <= 30; seed++) {
        const shake = jitter(seed, 1);
        const points = grid(photo, at).map((p) => ({ ...p, place: shake(p.place) }));
        sum += worst(made(points, 'grid'), photo) ** 2;
      }
      return Math.sqrt(sum / 30);
    };
    expect(rms(many)).toBeLessThan(0.75 * rms(CORNERS));
  });
});

describe('the error that a calibration gives for itself', () => {
  it('is what clicks with that placing error really cause, within a third', () => {
    const at = [...CORNERS, { flow: 0.25, pressureRatio: 2.5 }, { flow: 0.25, pressureRatio: 1 }];
    let said = 0;
    let square = 0;
    const runs = 200;
    for (let seed = 1; seed <= runs; seed++) {
      const shake = jitter(seed, 0.5);
      const calibration = made(
        grid(photo, at).map((p) => ({ ...p, place: shake(p.place) })),
        'grid',
      );
      said += calibration.error.flowShare / runs;
      // The worst place that is looked at: a corner of the middle nine tenths of the picture.
      let largest = 0;
      for (const place of [
        { x: 120, y: 90 },
        { x: 2280, y: 90 },
        { x: 120, y: 1710 },
        { x: 2280, y: 1710 },
      ]) {
        const read = calibration.toData(place);
        const truth = made(grid(photo, CORNERS), 'grid').toData(place);
        const off = ((read?.flow ?? 0) - (truth?.flow ?? 0)) / calibration.error.fullScale.flow;
        largest = Math.max(largest, Math.abs(off));
      }
      square += largest ** 2 / runs;
    }
    // The largest of four correlated errors is somewhat above the standard deviation of the worst of them.
    expect(said / Math.sqrt(square)).toBeGreaterThan(0.67);
    expect(said / Math.sqrt(square)).toBeLessThan(1.33);
  });

  it('warns of points too close together for the picture they have to carry', () => {
    const truth = scan(0);
    const near = axes(truth).map((p, i) =>
      i === 1 ? { place: truth({ flow: 0.06, pressureRatio: 1 }), flow: 0.06 } : p,
    );
    const calibration = made(near, 'axes');
    expect(calibration.error.flowShare).toBeGreaterThan(0.004);
    expect(calibration.notes.map((n) => n.code)).toContain('reading-error-large');
    expect(made(axes(truth), 'axes').notes.map((n) => n.code)).not.toContain('reading-error-large');
  });

  it('names the grid point that was given a wrong value', () => {
    const at = [...CORNERS, { flow: 0.25, pressureRatio: 2.5 }, { flow: 0.25, pressureRatio: 4 }];
    const shake = jitter(4, 0.4);
    const points = grid(photo, at).map((p) => ({ ...p, place: shake(p.place) }));
    const wrong = points.map((p, i) => (i === 4 ? { ...p, flow: 0.26 } : p));
    expect(made(points, 'grid').notes.map((n) => n.code)).not.toContain('point-stands-off');
    expect(made(wrong, 'grid').notes.find((n) => n.code === 'point-stands-off')?.points).toEqual([4]);
  });

  it('leaves each spare point out once and says how far off it is then', () => {
    const points = grid(scan(0), [...CORNERS, { flow: 0.25, pressureRatio: 2.5 }]);
    const moved = points.map((p, i) => (i === 4 ? { ...p, place: { x: p.place.x + 3, y: p.place.y } } : p));
    expect(made(moved, 'grid').residuals[4]?.leftOutPixels).toBeCloseTo(3, 6);
    expect(made(points.slice(0, 4), 'grid').error.from).toBe('placing');
    expect(made(points, 'grid').error.from).toBe('extra-points');
    expect(made(points, 'grid').error.leftOutPixels).toBeLessThan(1e-6);
  });
});

describe('points that fix nothing', () => {
  const truth = scan(0);
  const codes = (points: readonly CalibrationPoint[], mode: 'axes' | 'grid') => {
    const result = calibrate(points, mode);
    return result.ok ? [] : result.problems.map((p) => p.code);
  };
  const [f1, f2, r1, r2] = axes(truth) as [CalibrationPoint, CalibrationPoint, CalibrationPoint, CalibrationPoint];

  it('are named for what they are', () => {
    expect(codes([], 'axes')).toEqual(['too-few-points']);
    expect(codes([f1, r1, r2], 'axes')).toEqual(['too-few-points']);
    expect(codes([f1, { ...f2, flow: 0.05 }, r1, r2], 'axes')).toEqual(['same-value']);
    expect(codes([f1, { ...f2, place: f1.place }, r1, r2], 'axes')).toEqual(['same-place']);
    expect(codes([f1, { place: f2.place }, r1, r2], 'axes')).toEqual(['without-value']);
    expect(codes([f1, { ...f2, flow: Number.NaN }, r1, r2], 'axes')).toEqual(['not-a-number']);
    expect(
      codes([f1, f2, { ...r1, place: { x: 500, y: 1649 } }, { ...r2, place: { x: 900, y: 1652 } }], 'axes'),
    ).toEqual(['parallel-axes']);
    expect(codes(grid(truth, CORNERS.slice(0, 3)), 'grid')).toEqual(['too-few-points']);
    expect(codes([...grid(truth, CORNERS.slice(0, 3)), f1], 'grid')).toEqual(['without-value']);
    const line = [0, 0.1, 0.2, 0.5].map((flow) => ({ flow, pressureRatio: 1 + 2 * flow }));
    expect(codes(grid(truth, line), 'grid')).toEqual(['collinear']);
    expect(codes(grid(truth, line), 'axes')).toEqual(['collinear']);
    expect(codes(grid(truth, [...line.slice(0, 3), { flow: 0.5, pressureRatio: 4 }]), 'grid')).toEqual(['collinear']);
  });

  it('include corners that were swapped: no sheet folds like that', () => {
    const [a, b, c, d] = grid(truth, CORNERS) as [
      CalibrationPoint,
      CalibrationPoint,
      CalibrationPoint,
      CalibrationPoint,
    ];
    expect(codes([a, b, { ...c, place: d.place }, { ...d, place: c.place }], 'grid')).toEqual(['folded']);
  });

  it('never make calibrate throw, whatever they are', () => {
    const random = seededRandom(11);
    const odd = () => [0, 1, -1, 1e300, -1e300, 1e-300, Number.NaN, Infinity, 5, 500][Math.floor(10 * random())] ?? 0;
    for (let i = 0; i < 2000; i++) {
      const points = Array.from({ length: Math.floor(7 * random()) }, () => ({
        place: { x: odd(), y: odd() },
        ...(random() < 0.7 ? { flow: odd() } : {}),
        ...(random() < 0.7 ? { pressureRatio: odd() } : {}),
      }));
      const result = calibrate(points, random() < 0.5 ? 'axes' : 'grid', { picture: SIZE });
      if (result.ok) expect(typeof result.calibration.error.flowShare).toBe('number');
      else expect(result.problems.length).toBeGreaterThan(0);
    }
  });
});

it('notes axes that run the other way', () => {
  const mirrored = (d: DataPlace): PicturePlace => ({ x: 2400 - scan(0)(d).x, y: 1800 - scan(0)(d).y });
  expect(made(axes(mirrored), 'axes').notes.map((n) => n.code)).toEqual(
    expect.arrayContaining(['flow-runs-left', 'ratio-runs-down']),
  );
  const upright = made(axes(scan(3)), 'axes').notes.map((n) => n.code);
  expect(upright).not.toContain('flow-runs-left');
  expect(upright).not.toContain('ratio-runs-down');
});

describe('the check grid', () => {
  it('lies where the values are', () => {
    const lines = checkGrid(
      made(grid(photo, CORNERS), 'grid'),
      { from: 0, to: 0.5, step: 0.1 },
      { from: 1, to: 4, step: 0.5 },
    );
    expect(lines.filter((l) => l.of === 'flow').map((l) => l.value)).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5]);
    expect(lines.filter((l) => l.of === 'pressureRatio')).toHaveLength(7);
    const line = lines.find((l) => l.of === 'flow' && l.value === 0.3);
    const end = photo({ flow: 0.3, pressureRatio: 4 });
    expect(line?.points.at(-1)?.x).toBeCloseTo(end.x, 6);
    expect(line?.points.at(-1)?.y).toBeCloseTo(end.y, 6);
  });

  it('draws nothing for steps that would draw without end', () => {
    const calibration = made(axes(scan(0)), 'axes');
    expect(checkGrid(calibration, { from: 0, to: 1, step: 0 }, { from: 1, to: 4, step: 1e-9 })).toEqual([]);
    expect(checkGrid(calibration, { from: 0, to: Number.NaN, step: 0.1 }, { from: 4, to: 1, step: 1 })).toEqual([]);
  });

  it('chooses steps of 1, 2 or 5', () => {
    expect(niceSteps(0, 0.5)).toEqual({ from: 0, to: 0.5, step: 0.05 });
    expect(niceSteps(1.03, 3.97)).toEqual({ from: 1.5, to: 3.5, step: 0.5 });
    expect(niceSteps(0, 87, 8)).toEqual({ from: 0, to: 80, step: 20 });
    expect(niceSteps(1, 1)).toBeNull();
  });
});
