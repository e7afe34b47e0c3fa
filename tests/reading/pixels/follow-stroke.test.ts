import { describe, expect, it } from 'vitest';
import type { FollowedStroke, PixelImage, PixelPlace } from '../../../src/reading/pixels/index.ts';
import { followStroke, snapToStroke } from '../../../src/reading/pixels/index.ts';
import { seededRandom } from '../../machines/random.ts';
import { jpegLoss } from './jpeg-loss.ts';
import { BLACK, BLUE, curve, distanceFrom, distancesFrom, LIGHT, Raster, RED } from './raster.ts';

/** A quarter of an ellipse, as a speed line runs: flat, then steep. */
const SPEED_LINE = curve(1500, (t) => ({
  x: 120 + 620 * Math.sin((t * Math.PI) / 2),
  y: 150 + 480 * (1 - Math.cos((t * Math.PI) / 2)),
}));
const CLICK = { x: SPEED_LINE[600]!.x + 2, y: SPEED_LINE[600]!.y - 2 };

function followed(stroke: FollowedStroke) {
  if (!stroke.ok) throw new Error(stroke.message);
  return stroke;
}

function endsOf(stroke: { points: readonly PixelPlace[] }, truth: readonly PixelPlace[]): number {
  const away = (p: PixelPlace, q: PixelPlace) => Math.hypot(p.x - q.x, p.y - q.y);
  const [a, b] = [stroke.points[0]!, stroke.points.at(-1)!];
  const [p, q] = [truth[0]!, truth.at(-1)!];
  return Math.min(Math.max(away(a, p), away(b, q)), Math.max(away(a, q), away(b, p)));
}

describe('a stroke over a light grid, from one click', () => {
  for (const quality of [null, 60]) {
    for (const [name, colour] of [
      ['dark', BLACK],
      ['red', RED],
      ['blue', BLUE],
    ] as const) {
      it(`is followed to both ends to a fifth of a pixel, ${name}, 1 to 6 px wide${quality ? ', through JPEG of quality 60' : ''}`, () => {
        for (const width of [1, 1.5, 2, 3, 4, 6]) {
          const drawn = new Raster(900, 760).grid(50, LIGHT).stroke(SPEED_LINE, width, colour);
          const image = quality ? jpegLoss(drawn, quality) : drawn;
          const stroke = followed(followStroke(image, CLICK));
          const { most, rms } = distancesFrom(SPEED_LINE, stroke.path);
          expect(rms).toBeLessThan(0.2);
          expect(most).toBeLessThan(0.8);
          expect(endsOf(stroke, SPEED_LINE)).toBeLessThan(1);
          expect(stroke.ends).toEqual(['end', 'end']);
          if (width >= 2) expect(Math.abs(stroke.look.widthPx - width)).toBeLessThan(0.5);
        }
      });
    }
  }

  it('does not depend on where along it the click was', () => {
    const image = jpegLoss(new Raster(900, 760).grid(50, LIGHT).stroke(SPEED_LINE, 2, BLACK), 60);
    for (let i = 20; i <= 1480; i += 73) {
      const at = SPEED_LINE[i]!;
      const stroke = followed(followStroke(image, { x: at.x - 2, y: at.y + 3 }));
      expect(endsOf(stroke, SPEED_LINE)).toBeLessThan(1);
    }
  });
});

describe('what lies in the way', () => {
  it('is crossed straight on: grid lines as dark as the stroke, another curve at a small angle', () => {
    const crossing = curve(400, (t) => ({ x: 100 + 700 * t, y: 120 + 300 * t ** 1.2 }));
    const image = new Raster(900, 760).grid(90, BLACK).stroke(crossing, 2, BLACK).stroke(SPEED_LINE, 2, BLACK);
    for (const at of [200, 700, 1300]) {
      const stroke = followed(followStroke(image, { x: SPEED_LINE[at]!.x + 1, y: SPEED_LINE[at]!.y - 1 }));
      expect(distancesFrom(SPEED_LINE, stroke.path).most).toBeLessThan(1.5);
      expect(endsOf(stroke, SPEED_LINE)).toBeLessThan(2);
    }
  });

  it('is bridged where it is a gap: dashed lines of several rhythms, seen as one stroke', () => {
    for (const dash of [
      [12, 6],
      [8, 8],
      [20, 5],
      [5, 4],
    ] as const) {
      const image = new Raster(900, 760).grid(50, LIGHT).stroke(SPEED_LINE, 2, BLACK, dash);
      const stroke = followed(followStroke(image, CLICK));
      expect(distancesFrom(SPEED_LINE, stroke.path).most).toBeLessThan(1);
      expect(endsOf(stroke, SPEED_LINE)).toBeLessThan(dash[0] + dash[1] + 1);
    }
  });

  it('ends it where the gap is too wide, and it says gap', () => {
    const first = SPEED_LINE.slice(0, 700);
    const rest = SPEED_LINE.filter(
      (p) => Math.hypot(p.x - first.at(-1)!.x, p.y - first.at(-1)!.y) > 24 && p.x > first.at(-1)!.x,
    );
    const image = new Raster(900, 760).stroke(first, 2, BLACK).stroke(rest, 2, BLACK);
    const stroke = followed(followStroke(image, CLICK));
    expect(endsOf(stroke, first)).toBeLessThan(1);
    expect([...stroke.ends].sort()).toEqual(['end', 'gap']);
  });

  it('does not turn the corner where the stroke ends on another: a speed line at its surge line', () => {
    const start = SPEED_LINE[0]!;
    for (const [dx, dy] of [
      [90, -110],
      [60, -160],
      [140, -120],
    ] as const) {
      const surge = [
        { x: start.x - dx, y: start.y - dy },
        { x: start.x + dx, y: start.y + dy },
      ];
      const image = jpegLoss(
        new Raster(900, 760).grid(50, LIGHT).stroke(SPEED_LINE, 2, BLACK).stroke(surge, 3, BLACK),
        60,
      );
      const stroke = followed(followStroke(image, CLICK));
      expect(endsOf(stroke, SPEED_LINE)).toBeLessThan(5);
    }
  });

  it("ends it at the picture's edge", () => {
    const line = [
      { x: -20, y: 200 },
      { x: 500, y: 260 },
    ];
    const stroke = followed(followStroke(new Raster(420, 400).stroke(line, 2, BLACK), { x: 200, y: 226 }));
    expect(stroke.ends).toEqual(['edge', 'edge']);
    expect(Math.min(...stroke.points.map((p) => p.x))).toBeLessThan(3);
    expect(Math.max(...stroke.points.map((p) => p.x))).toBeGreaterThan(417);
  });
});

describe('a closed island', () => {
  it('is followed once around', () => {
    for (const radius of [14, 40, 150]) {
      const ring = curve(720, (t) => ({
        x: 250 + 1.3 * radius * Math.cos(2 * Math.PI * t),
        y: 220 + radius * Math.sin(2 * Math.PI * t),
      }));
      const stroke = followed(
        followStroke(new Raster(500, 450).grid(50, LIGHT).stroke(ring, 2, BLACK), { x: 250, y: 220 + radius + 1 }),
      );
      expect(stroke.ends).toEqual(['closed', 'closed']);
      expect(distancesFrom(ring, stroke.path).most).toBeLessThan(0.7);
      const length = ring.reduce(
        (sum, p, i) => (i ? sum + Math.hypot(p.x - ring[i - 1]!.x, p.y - ring[i - 1]!.y) : 0),
        0,
      );
      expect(stroke.lengthPx / length).toBeGreaterThan(0.97);
      expect(stroke.lengthPx / length).toBeLessThan(1.03);
    }
  });
});

describe('the proposed points', () => {
  const image = new Raster(900, 760).stroke(SPEED_LINE, 2, BLACK);

  it('are few, and the straight pieces between them lie within about two pixels of the line', () => {
    const stroke = followed(followStroke(image, CLICK));
    expect(stroke.points.length).toBeGreaterThanOrEqual(5);
    expect(stroke.points.length).toBeLessThanOrEqual(24);
    for (const p of SPEED_LINE) expect(distanceFrom(stroke.points, p)).toBeLessThan(2);
  });

  it('stand closer where the line bends', () => {
    const bent = [
      ...curve(200, (t) => ({ x: 100 + 400 * t, y: 200 })),
      ...curve(200, (t) => ({ x: 500 + 60 * Math.sin((t * Math.PI) / 2), y: 260 - 60 * Math.cos((t * Math.PI) / 2) })),
      ...curve(200, (t) => ({ x: 560, y: 260 + 400 * t })),
    ];
    const stroke = followed(followStroke(new Raster(700, 700).stroke(bent, 2, BLACK), { x: 300, y: 201 }));
    const inBend = stroke.points.filter((p) => p.x > 480 && p.y < 280).length;
    expect(inBend / 94).toBeGreaterThan((2 * (stroke.points.length - inBend)) / 800);
  });

  it('obey the number and the tolerance that are asked for', () => {
    expect(followed(followStroke(image, CLICK, { mostPoints: 7 })).points).toHaveLength(7);
    const fine = followed(followStroke(image, CLICK, { thinTolerancePx: 0.1, mostPoints: 200 })).points.length;
    const coarse = followed(followStroke(image, CLICK, { thinTolerancePx: 3 })).points.length;
    expect(fine).toBeGreaterThan(2 * coarse);
  });
});

describe('other papers', () => {
  it('may be dark, shaded or transparent', () => {
    const dark = new Raster(900, 760, { r: 25, g: 28, b: 35 }).stroke(SPEED_LINE, 2, { r: 230, g: 230, b: 220 });
    expect(distancesFrom(SPEED_LINE, followed(followStroke(dark, CLICK)).path).rms).toBeLessThan(0.2);
    const shaded = new Raster(900, 760).stroke(SPEED_LINE, 2, BLACK);
    for (let i = 0; i < shaded.data.length; i += 4) {
      const light = 0.45 + (0.55 * ((i / 4) % 900)) / 900;
      for (let k = 0; k < 3; k++) shaded.data[i + k] = shaded.data[i + k]! * light;
    }
    const stroke = followed(followStroke(shaded, CLICK));
    expect(distancesFrom(SPEED_LINE, stroke.path).rms).toBeLessThan(0.2);
    expect(endsOf(stroke, SPEED_LINE)).toBeLessThan(1);
    const clear = new Raster(900, 760, { r: 0, g: 0, b: 0 });
    clear.data.fill(0);
    const inked = new Raster(900, 760).stroke(SPEED_LINE, 2, BLACK);
    for (let i = 0; i < clear.data.length; i += 4) clear.data[i + 3] = 255 - inked.data[i]!;
    expect(distancesFrom(SPEED_LINE, followed(followStroke(clear, CLICK)).path).rms).toBeLessThan(0.2);
  });

  it('may be noisy', () => {
    const random = seededRandom(2);
    const noisy = new Raster(900, 760).grid(50, LIGHT).stroke(SPEED_LINE, 2, BLACK);
    for (let i = 0; i < noisy.data.length; i++)
      if (i % 4 < 3) noisy.data[i] = noisy.data[i]! + 40 * (random() + random() - 1);
    const stroke = followed(followStroke(noisy, CLICK));
    expect(distancesFrom(SPEED_LINE, stroke.path).rms).toBeLessThan(0.3);
    expect(endsOf(stroke, SPEED_LINE)).toBeLessThan(2);
  });
});

describe('where there is no stroke', () => {
  it('it says so, and never throws', () => {
    const image = new Raster(300, 200).stroke(
      [
        { x: 20, y: 100 },
        { x: 280, y: 120 },
      ],
      2,
      BLACK,
    );
    expect(followStroke(image, { x: 150, y: 40 })).toMatchObject({ ok: false, reason: 'no-stroke' });
    expect(followStroke(image, { x: -1, y: 40 })).toMatchObject({ ok: false, reason: 'outside-picture' });
    expect(followStroke(image, { x: Number.NaN, y: 40 })).toMatchObject({ ok: false, reason: 'outside-picture' });
    const random = seededRandom(6);
    for (let i = 0; i < 60; i++) {
      const width = 1 + Math.floor(40 * random());
      const height = 1 + Math.floor(40 * random());
      const data = Uint8ClampedArray.from({ length: 4 * width * height }, () => 256 * random());
      const noise: PixelImage = { width, height, data };
      expect(typeof followStroke(noise, { x: width * random(), y: height * random() }).ok).toBe('boolean');
    }
  });
});

it('always ends, whatever tangle of strokes and dashes the click falls into', () => {
  const random = seededRandom(9);
  const place = () => ({ x: 220 * random(), y: 220 * random() });
  for (let i = 0; i < 60; i++) {
    const image = new Raster(220, 220);
    for (let k = 0; k < 3 + 12 * random(); k++) {
      const [a, b, c] = [place(), place(), place()];
      const bend = curve(30, (t) => ({
        x: (1 - t) ** 2 * a.x + 2 * t * (1 - t) * b.x + t * t * c.x,
        y: (1 - t) ** 2 * a.y + 2 * t * (1 - t) * b.y + t * t * c.y,
      }));
      image.stroke(bend, 1 + 3 * random(), BLACK, random() < 0.4 ? [2 + 8 * random(), 2 + 6 * random()] : undefined);
    }
    for (let k = 0; k < 4; k++) {
      const stroke = followStroke(image, place());
      if (stroke.ok) for (const p of stroke.path) expect(Number.isFinite(p.x + p.y)).toBe(true);
    }
  }
});

describe('snapping', () => {
  it('finds the middle of a stroke at any angle and width to a tenth of a pixel, and its direction to two degrees', () => {
    let worst = 0;
    for (const width of [1, 2, 3, 5]) {
      for (let degrees = 0; degrees < 180; degrees += 17) {
        const c = Math.cos((degrees * Math.PI) / 180);
        const s = Math.sin((degrees * Math.PI) / 180);
        const line = [
          { x: 60.3 - 50 * c, y: 60.7 - 50 * s },
          { x: 60.3 + 50 * c, y: 60.7 + 50 * s },
        ];
        const image = new Raster(120, 120).stroke(line, width, BLUE);
        const snapped = snapToStroke(image, { x: 60.3 - 2.5 * s, y: 60.7 + 2.5 * c }, 8);
        if (!snapped) throw new Error(`nothing at ${degrees} degrees, ${width} px`);
        worst = Math.max(worst, distanceFrom(line, snapped.place));
        const turn = Math.abs(Math.sin(snapped.direction - (degrees * Math.PI) / 180));
        expect(turn).toBeLessThan(Math.sin((2 * Math.PI) / 180));
      }
    }
    expect(worst).toBeLessThan(0.1);
  });

  it('goes to the nearer of two strokes, and to none that is too far', () => {
    const image = new Raster(200, 200)
      .stroke(
        [
          { x: 0, y: 80 },
          { x: 200, y: 80 },
        ],
        2,
        BLACK,
      )
      .stroke(
        [
          { x: 0, y: 96 },
          { x: 200, y: 96 },
        ],
        2,
        BLACK,
      );
    expect(snapToStroke(image, { x: 100, y: 83 }, 8)?.place.y).toBeCloseTo(80, 1);
    expect(snapToStroke(image, { x: 100, y: 93 }, 8)?.place.y).toBeCloseTo(96, 1);
    expect(snapToStroke(image, { x: 100, y: 60 }, 8)).toBeNull();
  });
});
