import type { MapSheet } from '../../src/compressor/types.ts';

/**
 * A third kind of exact compressor, made apart from the other two: a balance of work and losses over the exit flow coefficient, with the
 * density at the exit (and so the departure from similarity) and the choking flow growing with tip Mach number. Invented; forms as in
 * Dixon & Hall ch. 7, constants chosen. Not a blind test any more: how the search for the lengths sees the sheet, how freely it may scale
 * the noise, and that the lines' ends are aligned (src/compressor/similarity.ts) were decided on seeing it.
 */
export interface BalanceShape {
  name: string;
  exducerM: number;
  width: number;
  backsweepDeg: number;
  /** Incidence loss left of the best flow, against right of it: above 1 the lines rise near surge. */
  stallLoss: number;
  chokeLoss: number;
}

export const BALANCE_SHAPES: readonly BalanceShape[] = [
  { name: 'narrow 42', exducerM: 0.042, width: 0.9, backsweepDeg: 30, stallLoss: 1, chokeLoss: 1 },
  { name: 'wide 51', exducerM: 0.051, width: 1.05, backsweepDeg: 38, stallLoss: 0.7, chokeLoss: 1.4 },
  { name: 'rising 58', exducerM: 0.058, width: 1, backsweepDeg: 35, stallLoss: 1.3, chokeLoss: 0.8 },
  { name: 'wide 67', exducerM: 0.067, width: 1.15, backsweepDeg: 42, stallLoss: 1, chokeLoss: 1.2 },
  { name: 'rising 76', exducerM: 0.076, width: 0.95, backsweepDeg: 25, stallLoss: 1.6, chokeLoss: 1 },
];

const CP = 1004.5;
const T = 298.15;
const P = 1e5;
const R = 287.05;
const DENSITY = P / (R * T);
const SOUND = Math.sqrt(1.4 * R * T);
const TIP_SPEEDS = [180, 235, 285, 330, 370, 410, 450, 490, 525];

export interface BalanceState {
  pressureRatio: number;
  efficiency: number;
}

/** null at and beyond choke. */
export function balanceState(shape: BalanceShape, speedRpm: number, flowKgPerS: number): BalanceState | null {
  const tip = (Math.PI * shape.exducerM * speedRpm) / 60;
  const mach = tip / SOUND;
  const inlet = 0.25 * Math.PI * (0.72 * shape.exducerM) ** 2 * 0.82 * shape.width;
  const swallowed = 1.02 * (1 - 0.5 * Math.exp(-1.15 * mach)) * (0.55 + 0.45 * Math.min(1, mach / 1.35));
  const share = flowKgPerS / (inlet * DENSITY * SOUND * 0.5787 * swallowed);
  if (share >= 0.995) return null;
  const phi = flowKgPerS / (DENSITY * shape.exducerM ** 2 * tip);
  const best = 0.092 * shape.width * (1 + 0.1 * mach);
  const exitDensity = (1 + 0.18 * mach * mach) ** 2.1;
  const exitPhi = (phi / (0.15 * exitDensity)) * 1.15;
  const work = 0.86 - exitPhi * Math.tan((shape.backsweepDeg * Math.PI) / 180) * 0.8;
  const incidence = 0.34 * (phi / best - 1) ** 2 * (phi < best ? shape.stallLoss : 1);
  const friction = 0.055 + 0.05 * (phi / best) ** 2;
  const choke = (shape.chokeLoss * 0.05 * share ** 10) / (1 - share ** 6);
  const shock = 0.05 * Math.max(0, mach - 1.05) ** 2;
  const head = work - incidence - friction - choke - shock;
  if (head <= 0) return null;
  const recirculation = 0.00121 / phi;
  return { pressureRatio: (1 + (tip * tip * head) / (CP * T)) ** 3.5, efficiency: head / (work + recirculation) };
}

/** Flow at the surge and the choke end as the line is drawn: a little left of the peak, and where half of its rise is left. */
export function balanceRange(shape: BalanceShape, speedRpm: number): { surge: number; choke: number } {
  const step = 0.0005 * (shape.exducerM / 0.05) ** 2;
  let peak = 0;
  let atPeak = 0;
  let choke = 0;
  for (let flow = step; ; flow += step) {
    const state = balanceState(shape, speedRpm, flow);
    if (state === null && peak > 0) break;
    if (state === null) continue;
    if (state.pressureRatio > peak) {
      peak = state.pressureRatio;
      atPeak = flow;
    }
    if (state.pressureRatio > 1 + (peak - 1) / 2) choke = flow;
  }
  return { surge: atPeak * (shape.stallLoss > 1 ? 0.86 : 0.97), choke };
}

export function balanceSpeeds(shape: BalanceShape): number[] {
  return TIP_SPEEDS.map((tip) => Math.round((tip * 60) / (Math.PI * shape.exducerM) / 1000) * 1000);
}

/** The machine as it would be read off a sheet: flow to 0.001 kg/s, pressure ratio to 0.01, efficiency to 0.001; closer towards choke. */
export function balanceSheet(shape: BalanceShape): MapSheet {
  return {
    format: 'lugline-map',
    version: 1,
    name: shape.name,
    source: 'analytic machine of the tests',
    invented: true,
    reference: { temperatureK: T, pressurePa: P },
    flowUnit: 'kg/s',
    speedLines: balanceSpeeds(shape).map((speedRpm) => {
      const { surge, choke } = balanceRange(shape, speedRpm);
      const points = Array.from({ length: 9 }, (_, k) => {
        const flow = Number((surge + (choke - surge) * Math.sin(((k / 8) * Math.PI) / 2)).toFixed(3));
        const state = balanceState(shape, speedRpm, flow);
        if (state === null) throw new Error(`${shape.name} has no point at ${speedRpm} rpm, ${flow} kg/s`);
        const { pressureRatio, efficiency } = state;
        return { flow, pressureRatio: Number(pressureRatio.toFixed(2)), efficiency: Number(efficiency.toFixed(3)) };
      });
      return { speedRpm, points };
    }),
  };
}
