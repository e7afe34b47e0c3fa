import type { FlowUnit, MapSheet } from '../../src/compressor/types.ts';
import { AnalyticCompressor, MACHINES, type MachinePoint, type MachineShape } from './analytic-compressor.ts';
import { SUPERELLIPSES, SuperellipseCompressor } from './superellipse-compressor.ts';

const KG_PER_S_PER_LB_PER_MIN = 0.45359237 / 60;

/** A compressor whose every point is known exactly. */
export interface ExactMachine {
  name: string;
  topSpeedRpm: number;
  at(speedRpm: number, beta: number): MachinePoint;
}

export interface ReadingStyle {
  flowUnit: FlowUnit & ('kg/s' | 'lb/min');
  flowDecimals: number;
  ratioDecimals: number;
  efficiencyDecimals: number;
  lines: number;
  pointsPerLine: number;
  /** Lowest line as a share of the top line's speed. */
  lowestShare: number;
}

/** Read as the yardstick was: nine lines, flow to 0.1 lb/min or 0.001 kg/s, pressure ratio to 0.01. */
export const POUNDS: ReadingStyle = {
  flowUnit: 'lb/min',
  flowDecimals: 1,
  ratioDecimals: 2,
  efficiencyDecimals: 3,
  lines: 9,
  pointsPerLine: 9,
  lowestShare: 0.35,
};
export const KILOGRAMS: ReadingStyle = { ...POUNDS, flowUnit: 'kg/s', flowDecimals: 3 };

export function meanLine(shape: MachineShape): ExactMachine {
  const machine = new AnalyticCompressor(shape);
  return {
    name: shape.name,
    topSpeedRpm: machine.topSpeedRpm,
    at: (speedRpm, beta) => {
      const point = machine.at(speedRpm, beta);
      if (!point) throw new Error(`${shape.name} has no point at ${speedRpm} rpm, beta ${beta}`);
      return point;
    },
  };
}

/** Wide, narrow, small, large, rising: the mean-line machines, their deeper-drawn versions, and the superellipses. */
export const EXACT_MACHINES: readonly ExactMachine[] = [
  ...MACHINES.map(meanLine),
  ...MACHINES.map((shape) => meanLine({ ...shape, name: `${shape.name}, deep`, endEfficiency: 0.38 })),
  meanLine({ ...MACHINES[0]!, name: 'sharp 50', exducerM: 0.05, inducerM: 0.038, chokeSharpness: 22 }),
  ...SUPERELLIPSES.map((shape) => {
    const machine = new SuperellipseCompressor(shape);
    return { name: shape.name, topSpeedRpm: machine.topSpeedRpm, at: machine.at.bind(machine) };
  }),
];

export function lineSpeeds(machine: ExactMachine, style: ReadingStyle): number[] {
  return Array.from({ length: style.lines }, (_, i) => {
    const share = style.lowestShare + ((1 - style.lowestShare) * i) / (style.lines - 1);
    return Math.round((machine.topSpeedRpm * share) / 1000) * 1000;
  });
}

/** The machine's map as a person would have typed it. */
export function readSheet(machine: ExactMachine, style: ReadingStyle): MapSheet {
  const unit = style.flowUnit === 'lb/min' ? KG_PER_S_PER_LB_PER_MIN : 1;
  return {
    format: 'lugline-map',
    version: 1,
    name: machine.name,
    source: 'analytic machine of the tests',
    invented: true,
    reference: { temperatureK: 298.15, pressurePa: 100000 },
    flowUnit: style.flowUnit,
    speedLines: lineSpeeds(machine, style).map((speedRpm) => ({
      speedRpm,
      points: Array.from({ length: style.pointsPerLine }, (_, k) => {
        const point = machine.at(speedRpm, k / (style.pointsPerLine - 1));
        return {
          flow: Number((point.correctedMassFlowKgPerS / unit).toFixed(style.flowDecimals)),
          pressureRatio: Number(point.pressureRatio.toFixed(style.ratioDecimals)),
          efficiency: Number(point.efficiency.toFixed(style.efficiencyDecimals)),
        };
      }),
    })),
  };
}
