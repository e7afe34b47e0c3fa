import type { FlowUnit, MapSheet } from '../../src/compressor/types.ts';
import { sheetFlowFactor } from '../../src/units/index.ts';
import type { MachinePoint } from './analytic-compressor.ts';
import { seededRandom } from './random.ts';

/**
 * Exact compressors drawn by chance, for work on the surface: the first ones (seeds 1 to 12) are what is looked at while it is built, all
 * others show whether it holds. Each speed line is the smooth minimum of a parabola of head and a steep straight wall at choke, from a soft
 * bend to a knee next to a vertical line; choke, knee, head and surge side follow smooth laws of the tip Mach number; efficiency is that head
 * over the work, with a ported shroud's recirculation on some. Invented; no published form.
 */
export interface RandomCompressor {
  name: string;
  topRpm: number;
  /** Place on a speed line: 0 its surge end, 1 its choke end as drawn. */
  at(speedRpm: number, along: number): MachinePoint;
  speeds: readonly number[];
  pointsPerLine: number;
  /** Where each line's last point lies: 1, or short of choke. */
  ends: readonly number[];
  unit: FlowUnit;
}

const REFERENCE = { temperatureK: 298.15, pressurePa: 1e5 };
const DENSITY = REFERENCE.pressurePa / (287.05 * REFERENCE.temperatureK);
const SOUND = Math.sqrt(1.4 * 287.05 * REFERENCE.temperatureK);
const UNITS: readonly FlowUnit[] = ['kg/s', 'lb/min', 'm3/s', 'cfm'];

/** @param seed whole number from 1: the same seed gives the same machine. */
export function randomCompressor(seed: number): RandomCompressor {
  const random = seededRandom(7919 * seed);
  const between = (low: number, high: number) => low + (high - low) * random();
  const diameterM = between(0.04, 0.08);
  const topMach = between(1.3, 1.65);
  const chokePhi = between(0.08, 0.12);
  const throatGrowth = between(0.1, 0.35);
  const wall = between(4, 30);
  const sharpness = between(2.5, 9);
  const sharpnessGrowth = between(0, 4);
  const peak = between(0.2, 0.5);
  const fall = between(0.15, 0.55);
  const surgeLow = between(0.2, 0.4);
  const surgeHigh = between(0.4, 0.75);
  const head = between(0.6, 0.72);
  const slope = between(0.15, 0.4);
  const loss = between(0.16, 0.24);
  const shock = between(0, 0.12);
  const ported = seed % 3 === 0 ? between(0.1, 0.25) : 0;
  const portAt = between(0.45, 0.65);
  const drawnTo = between(0.15, 0.5);

  const law = (speedRpm: number) => {
    const tip = (Math.PI * diameterM * speedRpm) / 60;
    const mach = tip / SOUND;
    const share = mach / topMach;
    // The throat's flow grows less than speed above a tip Mach number of about one.
    const choke = chokePhi * (1 + throatGrowth * mach * mach) * (1 + (mach / 1.2) ** 4) ** (-1 / 4);
    const best = peak + 0.25 * share;
    const parabola = (x: number) => 1 - fall * (x - best) ** 2 * (x < best ? 1.4 : 1);
    const k = sharpness + sharpnessGrowth * share;
    const psi = (x: number) => (parabola(x) ** -k + (wall * (1.0001 - x)) ** -k) ** (-1 / k);
    return { tip, mach, share, choke, psi, surge: surgeLow + (surgeHigh - surgeLow) * share ** 1.5 };
  };

  const at = (speedRpm: number, along: number): MachinePoint => {
    const { tip, mach, share, choke, psi, surge } = law(speedRpm);
    const top = psi(surge);
    const end = bisect((x) => psi(x) - drawnTo * top, surge, 1);
    // Evenly in angle: near-vertical parts get their points too.
    const first = Math.atan2(top, surge);
    const angle = first + (Math.atan2(psi(end), end) - first) * along;
    const x = bisect((u) => psi(u) - u * Math.tan(angle), surge, end);
    const port = ported * Math.log1p(Math.exp((portAt + 0.15 * share - x) / 0.04)) * 0.04;
    const headCoefficient = head * (1 - 0.05 * mach * mach) * psi(x) * (1 - 0.4 * port);
    const spread = ((x - 0.6 - 0.15 * share) / 0.5) ** 2;
    const work =
      head * (1.08 - slope * (x - 0.5)) * (1 + loss + 0.12 * spread + shock * Math.max(0, mach - 0.9) ** 2 + port);
    return {
      correctedMassFlowKgPerS: x * choke * DENSITY * diameterM ** 2 * tip,
      pressureRatio: (1 + (tip * tip * headCoefficient) / (1004.6 * REFERENCE.temperatureK)) ** 3.5,
      efficiency: headCoefficient / work,
    };
  };

  const topRpm = (topMach * SOUND * 60) / (Math.PI * diameterM);
  const lowest = between(0.3, 0.6);
  const count = 5 + Math.floor(between(0, 7.99));
  const speeds = Array.from({ length: count }, (_, i) => {
    const even = lowest + ((1 - lowest) * i) / (count - 1);
    const shift = seed % 4 === 1 && i > 0 && i < count - 1 ? between(-0.3, 0.3) * ((1 - lowest) / (count - 1)) : 0;
    return Math.round((topRpm * (even + shift)) / 1000) * 1000;
  });
  return {
    name: `random ${seed}`,
    topRpm,
    at,
    speeds,
    pointsPerLine: 5 + Math.floor(between(0, 8.99)),
    ends: speeds.map(() => (seed % 4 === 2 ? between(0.6, 1) : 1)),
    unit: UNITS[seed % 4]!,
  };
}

function bisect(excess: (x: number) => number, from: number, to: number): number {
  let low = from;
  let high = to;
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if (excess(middle) > 0) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/** Three digits of the largest flow, as sheets are printed: a step of 1, 2 or 5 of the last decimal. */
export function printedStep(largest: number): number {
  const power = 10 ** Math.floor(Math.log10(largest / 250));
  const lead = largest / 250 / power;
  return power * (lead < 2 ? 1 : lead < 5 ? 2 : 5);
}

/**
 * The machine's map as it is read off a printed sheet: flow in three digits, pressure ratio to 0.01, efficiency to 0.001.
 * @param exact five digits of each instead.
 */
export function printedSheet(machine: RandomCompressor, unit: FlowUnit = machine.unit, exact = false): MapSheet {
  const factor = sheetFlowFactor(unit, REFERENCE);
  const lines = machine.speeds.map((speedRpm, i) => ({
    speedRpm,
    points: Array.from({ length: machine.pointsPerLine }, (_, k) =>
      machine.at(speedRpm, (machine.ends[i]! * k) / (machine.pointsPerLine - 1)),
    ),
  }));
  const largest = Math.max(...lines.flatMap(({ points }) => points.map((p) => p.correctedMassFlowKgPerS / factor)));
  const to = (value: number, step: number) =>
    exact ? Number(value.toPrecision(5)) : Number((Math.round(value / step) * step).toFixed(6));
  return {
    format: 'lugline-map',
    version: 1,
    name: machine.name,
    source: 'analytic machine of the tests',
    invented: true,
    reference: REFERENCE,
    flowUnit: unit,
    speedLines: lines.map(({ speedRpm, points }) => ({
      speedRpm,
      points: points.map((p) => ({
        flow: to(p.correctedMassFlowKgPerS / factor, printedStep(largest)),
        pressureRatio: to(p.pressureRatio, 0.01),
        efficiency: to(p.efficiency, 0.001),
      })),
    })),
  };
}
