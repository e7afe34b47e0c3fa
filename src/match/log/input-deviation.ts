import type { Tolerances } from '../studies/types.ts';
import type { CarPath } from './car-path.ts';
import type { WorkRow } from './log-rows.ts';
import type { NuisanceKey } from './result-types.ts';
import type { Priors } from './row-bands.ts';

/** The entered curve is off by its tolerance as a whole, and by five sixths of that in its shape: standard deviations, wide on purpose. */
export function vePriors(tolerances: Tolerances): { common: number; shape: number } {
  return { common: tolerances.volumetricEfficiency, shape: (tolerances.volumetricEfficiency * 5) / 6 };
}

/** Shape of the entered curve holds together over this, rpm. */
export const SHAPE_LENGTH_RPM = 1200;

/** How ln N of the prediction answers to one prior deviation of each thing that may be off, at a row. */
export function speedAnswers(path: CarPath, row: WorkRow, priors: Priors): Map<NuisanceKey, number> {
  const answers = new Map<NuisanceKey, number>();
  const base = row.predicted?.shaftSpeedRpm;
  if (base === undefined) return answers;
  for (const key of Object.keys(priors) as NuisanceKey[]) {
    if (priors[key] === 0) continue;
    const moved = path.biased({ [key]: priors[key] }).predict(row.readings)?.shaftSpeedRpm;
    if (moved !== undefined) answers.set(key, Math.log(moved / base));
  }
  return answers;
}

const MOST_ROWS = 7;
/** Where no row tells: what the demonstration's turbos have. */
const USUAL = 0.018;

/**
 * By how much the mean of ln(logged/predicted) over rows may be off through all that is entered, one standard deviation: what is common to
 * the rows adds up before it is squared.
 */
export function inputDeviation(
  path: CarPath,
  rows: readonly WorkRow[],
  priors: Priors,
  tolerances: Tolerances,
): number {
  const count = Math.min(MOST_ROWS, rows.length);
  if (count === 0) return USUAL;
  const taken = Array.from({ length: count }, (_, i) => rows[Math.floor(((i + 0.5) * rows.length) / count)]!);
  const sums = new Map<string, number>();
  const ve: { at: number; answer: number }[] = [];
  for (const row of taken) {
    for (const [key, answer] of speedAnswers(path, row, priors)) sums.set(key, (sums.get(key) ?? 0) + answer / count);
    const moved = path.predict(row.readings, 1.01);
    if (moved !== null)
      ve.push({
        at: row.readings.engineSpeedRpm,
        answer: Math.log(moved.shaftSpeedRpm / row.predicted!.shaftSpeedRpm) / 0.01 / count,
      });
  }
  const { common, shape } = vePriors(tolerances);
  let variance = 0;
  for (const sum of sums.values()) variance += sum * sum;
  for (const one of ve)
    for (const other of ve) variance += one.answer * other.answer * veCovariance(one.at - other.at, common, shape);
  return Math.sqrt(variance);
}

/** Prior covariance of ln VE at two engine speeds this far apart. */
export function veCovariance(apartRpm: number, common: number, shape: number): number {
  return common * common + shape * shape * Math.exp(-0.5 * (apartRpm / SHAPE_LENGTH_RPM) ** 2);
}
