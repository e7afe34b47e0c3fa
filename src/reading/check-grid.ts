import type { Calibration, DataPlace, PicturePlace } from './calibrate.ts';

/** Values on one axis at which the sheet prints its grid. */
interface GridSteps {
  from: number;
  to: number;
  step: number;
}

/** A line of the check grid over the picture. */
interface CheckGridLine {
  of: 'flow' | 'pressureRatio';
  value: number;
  /** In picture places; straight pieces. */
  points: readonly PicturePlace[];
}

/** Pieces of a line, so that it can be drawn where a part of it lies beyond the horizon. */
const PIECES = 16;
/** More lines than this are a slip in the step, and would cover the picture. */
const MOST_LINES = 200;

/**
 * The check grid: lines of constant flow and of constant pressure ratio, in picture places, to be laid over the picture.
 * @returns empty for steps that are not above zero, ranges that are not numbers, or more than 200 lines an axis.
 */
export function checkGrid(calibration: Calibration, flow: GridSteps, pressureRatio: GridSteps): CheckGridLine[] {
  const along = (of: CheckGridLine['of'], value: number, at: (share: number) => DataPlace): CheckGridLine[] => {
    const points = Array.from({ length: PIECES + 1 }, (_, i) => calibration.toPicture(at(i / PIECES))).filter(
      (place): place is PicturePlace => place !== null,
    );
    return points.length < 2 ? [] : [{ of, value, points }];
  };
  const between = ({ from, to }: GridSteps, share: number) => from + (to - from) * share;
  return [
    ...values(flow).flatMap((value) =>
      along('flow', value, (s) => ({ flow: value, pressureRatio: between(pressureRatio, s) })),
    ),
    ...values(pressureRatio).flatMap((value) =>
      along('pressureRatio', value, (s) => ({ flow: between(flow, s), pressureRatio: value })),
    ),
  ];
}

function values({ from, to, step }: GridSteps): number[] {
  const count = Math.floor((to - from) / step + 1e-6) + 1;
  if (!(step > 0) || !(count >= 1 && count <= MOST_LINES)) return [];
  // Rounded, so that a label reads 0.3 and not 0.30000000000000004.
  return Array.from({ length: count }, (_, i) => Number((from + i * step).toPrecision(12)));
}

/**
 * Grid steps that suit a range: 1, 2 or 5 times a power of ten, about `count` lines, beginning and ending on a step within the range.
 * @returns null for a range without width or that is not a number.
 */
export function niceSteps(from: number, to: number, count = 10): GridSteps | null {
  const width = to - from;
  if (!(width > 0) || !Number.isFinite(width) || !(count >= 1)) return null;
  const rough = width / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough * 0.999) ?? 10 * power;
  const tidy = (value: number) => Number((value * step).toPrecision(12));
  return {
    from: tidy(Math.ceil(from / step - 1e-9)),
    to: tidy(Math.floor(to / step + 1e-9)),
    step: Number(step.toPrecision(12)),
  };
}

/** Decimals that a reading is worth: a last digit of at most a quarter of a pixel. */
export function sensibleDecimals(calibration: Calibration, around: PicturePlace): { flow: number; ratio: number } {
  const at = (dx: number, dy: number) => calibration.toData({ x: around.x + dx, y: around.y + dy });
  const [here, right, down] = [at(0, 0), at(1, 0), at(0, 1)];
  if (here === null || right === null || down === null) return { flow: 4, ratio: 3 };
  const per = (of: keyof DataPlace) => Math.hypot(right[of] - here[of], down[of] - here[of]);
  const decimals = (perPixel: number) =>
    perPixel > 0 ? Math.min(8, Math.max(0, Math.ceil(-Math.log10(perPixel / 4) - 1e-9))) : 4;
  return { flow: decimals(per('flow')), ratio: decimals(per('pressureRatio')) };
}
