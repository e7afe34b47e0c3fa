import type { RefinedFit } from './calibration-fit.ts';
import { names, ratioWord } from './calibration-problems.ts';
import type {
  CalibratedSheet,
  CalibrationError,
  CalibrationMode,
  CalibrationNote,
  CalibrationResidual,
} from './calibration-types.ts';
import { planeDerivatives } from './plane-map.ts';

/** What a map reading should not exceed, share of full scale: the aim of the reading itself. */
const AIM = 0.004;
/** A point this far off when left out, in pixels and in multiples of the placing error that the rest shows, is named. */
const STANDS_OFF_PX = 2.5;
const STANDS_OFF_TIMES = 3;
/** Few spare points may agree by chance: the rest's scatter is drawn towards half a pixel with the weight of so many values. */
const PLACING_PX = 0.5;
const PLACING_WEIGHT = 4;

/** The calibration without one point. */
export interface WithoutPoint {
  /** How far the point lies off it, pixels. */
  pixels: number;
  /** Squares that the rest leaves, and how many of its values are spare. */
  squares: number;
  spare: number;
}

/**
 * What is worth saying about a calibration that stands.
 * @param without for each point the calibration without it; null where it cannot be spared.
 */
export function calibrationNotes(
  fit: RefinedFit,
  residuals: readonly CalibrationResidual[],
  without: readonly (WithoutPoint | null)[],
  error: CalibrationError,
  { mode, sheet }: { mode: CalibrationMode; sheet: CalibratedSheet },
): CalibrationNote[] {
  const notes: CalibrationNote[] = [];
  const add = (code: CalibrationNote['code'], message: string, points: readonly number[] = []) =>
    notes.push({ code, message, points });
  const ratioName = ratioWord(sheet);
  for (const code of runsBack(fit, sheet)) {
    const [axis, way] = code.split('-runs-') as ['flow' | 'ratio', 'left' | 'down'];
    const name = axis === 'flow' ? 'Flow' : `${ratioName.charAt(0).toUpperCase()}${ratioName.slice(1)}`;
    const where = way === 'left' ? 'to the left' : 'downwards';
    add(code, `${name} rises ${where} in this picture. If the sheet does not, two values are swapped.`);
  }
  const worst = Math.max(error.flowShare, error.ratioShare);
  if (worst > AIM) {
    const which = error.flowShare >= error.ratioShare ? 'flow' : ratioName;
    add(
      'reading-error-large',
      `The ${which} may be read wrong by ${percent(worst)} of full scale at the far side of the picture. Place the points farther apart, or add grid points.`,
    );
  }
  const off = standsOff(fit, without);
  if (off !== null) {
    const by = `${(residuals[off.worst]!.leftOutPixels ?? 0).toFixed(1)} px`;
    if (off.told) {
      add('point-stands-off', `${names([off.worst])} lies ${by} off the others. Check its place and its value.`, [
        off.worst,
      ]);
    } else {
      const all = residuals.flatMap((r, i) => (r.leftOutPixels === null ? [] : [i]));
      add(
        'point-stands-off',
        `The points disagree by ${by}, and there are too few to tell which is wrong. Check all of them.`,
        all,
      );
    }
  }
  if (fit.spare <= 0) {
    const more = mode === 'grid' ? 'A fifth grid point' : 'A third point on an axis, or a grid point,';
    add('no-extra-points', `${more} would show how good this calibration is.`);
  }
  return notes;
}

type Backwards = 'flow-runs-left' | 'flow-runs-down' | 'ratio-runs-left' | 'ratio-runs-down';

/** The axis that such a sheet has across, where it runs left; the one that it has up, where it runs down. A picture may lie on its side. */
function runsBack(fit: RefinedFit, sheet: CalibratedSheet): Backwards[] {
  const { byShare } = planeDerivatives(fit.h, { a: 0.5, b: 0.5 });
  const flow = { x: byShare[0][0], y: byShare[1][0] };
  const ratio = { x: byShare[0][1], y: byShare[1][1] };
  const [across, up] = sheet === 'turbine' ? [ratio, flow] : [flow, ratio];
  const [acrossName, upName] = sheet === 'turbine' ? (['ratio', 'flow'] as const) : (['flow', 'ratio'] as const);
  return [
    ...(across.x < 0 && Math.abs(across.x) > Math.abs(across.y) ? [`${acrossName}-runs-left` as const] : []),
    ...(up.y > 0 && Math.abs(up.y) > Math.abs(up.x) ? [`${upName}-runs-down` as const] : []),
  ];
}

/** One bad point spoils what the others are predicted by: to blame is the one without which the rest agrees best. */
function standsOff(
  fit: RefinedFit,
  without: readonly (WithoutPoint | null)[],
): { worst: number; told: boolean } | null {
  const off = without.map((w) => w?.pixels ?? 0);
  const largest = off.indexOf(Math.max(...off));
  if (!(off[largest]! > STANDS_OFF_PX)) return null;
  const rest = without.map((w) => (w && w.spare > 0 ? w.squares : Number.POSITIVE_INFINITY));
  const best = rest.indexOf(Math.min(...rest));
  const left = without[best];
  if (!left || !Number.isFinite(rest[best]!)) return { worst: largest, told: false };
  // Two coordinates of one point: by chance their share of the squares is twice the variance, whatever the point's leverage.
  const variance = (PLACING_WEIGHT * PLACING_PX ** 2 + left.squares) / (PLACING_WEIGHT + left.spare);
  const stands = off[best]! > STANDS_OFF_PX && fit.squares - left.squares > 2 * STANDS_OFF_TIMES ** 2 * variance;
  return stands ? { worst: best, told: true } : null;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(share < 0.01 ? 2 : 1)} %`;
}
