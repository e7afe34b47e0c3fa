import { islandContours, tryFitSurface } from '../../src/compressor/index.ts';
import type { FlowUnit, Island, MapSheet, ReferenceState } from '../../src/compressor/types.ts';
import { AnalyticCompressor, type MachineShape } from './analytic-compressor.ts';

/**
 * The maps of the demonstration builds: analytic machines read as a person reads a sheet, at rounded speeds, to the sheet's
 * decimals. No real turbo stands behind them. tests/machines/demo-maps.test.ts holds src/build/demo to this.
 */
const MACHINE_STATE: ReferenceState = { temperatureK: 298.15, pressurePa: 100000 };
const KG_PER_S_PER_LB_PER_MIN = 0.45359237 / 60;

const COMMON = {
  blades: 12,
  throatShare: 0.69,
  friction: 0.27,
  incidence: 1.6,
  flowAtNoIncidence: 0.78,
  diffuser: 0.5,
  recirculation: 0.3,
  shock: 0.5,
  lowSpeedFriction: 1.1,
  endEfficiency: 0.52,
  topTipSpeed: 505,
} as const;

const FACTORY: MachineShape = {
  ...COMMON,
  name: 'factory size',
  exducerM: 0.056,
  inducerM: 0.0425,
  widthRatio: 0.068,
  backsweepDeg: 27,
  chokeSharpness: 7,
  surgeShareLow: 0.66,
  surgeShareHigh: 0.52,
};

const LARGER: MachineShape = {
  ...COMMON,
  name: 'larger drop-in',
  exducerM: 0.0615,
  inducerM: 0.0485,
  widthRatio: 0.07,
  backsweepDeg: 30,
  chokeSharpness: 7.5,
  flowAtNoIncidence: 0.73,
  diffuser: 0.43,
  surgeShareLow: 0.64,
  surgeShareHigh: 0.53,
};

/** One of two. */
const SMALL: MachineShape = {
  ...FACTORY,
  name: 'small',
  exducerM: 0.048,
  inducerM: 0.0365,
  widthRatio: 0.07,
  surgeShareLow: 0.72,
  surgeShareHigh: 0.55,
};

/** One in place of two. */
const SINGLE: MachineShape = {
  ...COMMON,
  name: 'large single',
  exducerM: 0.0765,
  inducerM: 0.0595,
  widthRatio: 0.069,
  backsweepDeg: 32,
  chokeSharpness: 7.5,
  flowAtNoIncidence: 0.74,
  diffuser: 0.44,
  surgeShareLow: 0.7,
  surgeShareHigh: 0.56,
};

interface Reading {
  shape: MachineShape;
  name: string;
  source: string;
  reference: ReferenceState;
  flowUnit: FlowUnit;
  flowDecimals: number;
  speedsRpm: readonly number[];
  ratedRpm: number;
  levels: readonly number[];
}

const round = (value: number, decimals: number) => Number(value.toFixed(decimals));

function read(reading: Reading): MapSheet {
  const machine = new AnalyticCompressor(reading.shape);
  const speedFactor = Math.sqrt(reading.reference.temperatureK / MACHINE_STATE.temperatureK);
  const flowFactor =
    (Math.sqrt(MACHINE_STATE.temperatureK / reading.reference.temperatureK) *
      (reading.reference.pressurePa / MACHINE_STATE.pressurePa)) /
    (reading.flowUnit === 'lb/min' ? KG_PER_S_PER_LB_PER_MIN : 1);
  const line = (speedRpm: number, betas: readonly number[], decimals: [number, number, number]) =>
    betas.map((beta) => {
      const point = machine.at(speedRpm / speedFactor, beta);
      if (!point) throw new Error('a demo machine has no point there');
      return {
        flow: round(point.correctedMassFlowKgPerS * flowFactor, decimals[0]),
        pressureRatio: round(point.pressureRatio, decimals[1]),
        efficiency: round(point.efficiency, decimals[2]),
      };
    });
  const betas = [0, 0.13, 0.27, 0.41, 0.55, 0.68, 0.79, 0.9, 1];
  const fine = Array.from({ length: 15 }, (_, i) => i / 14);
  const sheet = (
    speeds: readonly number[],
    places: readonly number[],
    decimals: [number, number, number],
  ): MapSheet => ({
    format: 'lugline-map',
    version: 1,
    name: reading.name,
    source: reading.source,
    invented: true,
    reference: reading.reference,
    flowUnit: reading.flowUnit,
    speedLines: speeds.map((speedRpm) => ({ speedRpm, points: line(speedRpm, places, decimals) })),
    limits: { shaftSpeedRpm: reading.ratedRpm },
    wheel: { inducerMm: round(reading.shape.inducerM * 1000, 1), exducerMm: round(reading.shape.exducerM * 1000, 1) },
  });
  const exact = tryFitSurface(sheet(reading.speedsRpm, fine, [9, 9, 9]));
  if (!exact.ok) throw new Error(exact.problems[0]?.message ?? 'no fit');
  const unit = reading.flowUnit === 'lb/min' ? KG_PER_S_PER_LB_PER_MIN : 1;
  const islands: Island[] = islandContours(exact.surface, reading.levels).flatMap((contour) =>
    contour.rings
      .filter((ring) => ring.points.length > 12)
      .map((ring) => {
        const step = Math.max(1, Math.ceil(ring.points.length / 22));
        const kept = ring.points.filter((_, i) => i % step === 0 || i === ring.points.length - 1);
        const points = (ring.closed ? kept.slice(0, -1) : kept).map((p) => ({
          flow: round(p.correctedMassFlowKgPerS / unit, reading.flowDecimals),
          pressureRatio: round(p.pressureRatio, 2),
        }));
        return { efficiency: contour.efficiency, closed: ring.closed, points };
      }),
  );
  const entered = sheet(reading.speedsRpm, betas, [reading.flowDecimals, 2, 3]);
  return {
    ...entered,
    surgeLine: entered.speedLines.map(({ points }) => ({
      flow: points[0]!.flow,
      pressureRatio: points[0]!.pressureRatio,
    })),
    islands,
  };
}

/**
 * The machine's own efficiency at a place of its sheet, in the sheet's units: the speed is searched at which the flow has this pressure ratio.
 * NaN where the machine has no such point.
 */
export function exactEfficiency(reading: Reading, flow: number, pressureRatio: number): number {
  const machine = new AnalyticCompressor(reading.shape);
  const { temperatureK, pressurePa } = reading.reference;
  const unit = reading.flowUnit === 'lb/min' ? KG_PER_S_PER_LB_PER_MIN : 1;
  const machineFlow =
    flow * unit * Math.sqrt(temperatureK / MACHINE_STATE.temperatureK) * (MACHINE_STATE.pressurePa / pressurePa);
  let low = 0.1 * machine.topSpeedRpm;
  let high = 1.3 * machine.topSpeedRpm;
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if ((machine.point(middle, machineFlow)?.pressureRatio ?? 0) < pressureRatio) low = middle;
    else high = middle;
  }
  return machine.point(high, machineFlow)?.efficiency ?? Number.NaN;
}

export const factoryMap = (): MapSheet => read(FACTORY_READING);
export const largerMap = (): MapSheet => read(LARGER_READING);

export const smallMap = (): MapSheet => read(SMALL_READING);
export const singleMap = (): MapSheet => read(SINGLE_READING);

export const FACTORY_READING: Reading = {
  shape: FACTORY,
  name: 'Factory-size 42.5/56 (invented)',
  source: 'Invented for demonstration: computed from an analytic compressor, no real turbo stands behind it.',
  reference: MACHINE_STATE,
  flowUnit: 'kg/s',
  flowDecimals: 3,
  speedsRpm: [70000, 86000, 102000, 117000, 131000, 145000, 158000, 170000],
  ratedRpm: 172000,
  levels: [0.55, 0.6, 0.65, 0.68, 0.7, 0.72, 0.74, 0.76],
};

export const LARGER_READING: Reading = {
  shape: LARGER,
  name: 'Larger drop-in 48.5/61.5 (invented)',
  source: 'Invented for demonstration: computed from an analytic compressor, no real turbo stands behind it.',
  reference: { temperatureK: 302.8, pressurePa: 96170 },
  flowUnit: 'lb/min',
  flowDecimals: 1,
  speedsRpm: [60000, 75000, 90000, 104000, 118000, 131000, 143000, 155000],
  ratedRpm: 156000,
  levels: [0.55, 0.6, 0.65, 0.68, 0.7, 0.72, 0.74, 0.76],
};

export const SMALL_READING: Reading = {
  shape: SMALL,
  name: 'Small 36.5/48 (invented)',
  source: 'Invented: computed from an analytic machine.',
  reference: MACHINE_STATE,
  flowUnit: 'kg/s',
  flowDecimals: 3,
  speedsRpm: [80000, 98000, 117000, 134000, 151000, 168000, 183000, 197000],
  ratedRpm: 198000,
  levels: [0.55, 0.6, 0.65, 0.68, 0.7, 0.72, 0.74, 0.76],
};

export const SINGLE_READING: Reading = {
  shape: SINGLE,
  name: 'Large single 59.5/76.5 (invented)',
  source: 'Invented: computed from an analytic machine.',
  reference: MACHINE_STATE,
  flowUnit: 'kg/s',
  flowDecimals: 3,
  speedsRpm: [48000, 60000, 72000, 84000, 95000, 106000, 116000, 125000],
  ratedRpm: 126000,
  levels: [0.55, 0.6, 0.65, 0.68, 0.7, 0.72, 0.74, 0.76],
};
