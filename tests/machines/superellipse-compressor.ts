import type { MachinePoint } from './analytic-compressor.ts';

/**
 * A second family of exact compressors, of quite another form than the mean-line one: each speed line is a superellipse whose exponent,
 * choke flow, surge share and head follow smooth laws of the tip Mach number. Superellipse speed lines are known from the literature
 * (arXiv 2603.11317; Leufven & Eriksson 2013); the laws and constants are invented.
 */
export interface SuperellipseShape {
  name: string;
  exducerM: number;
  topTipMach: number;
  /** Exponent of the ellipse at rest and at top speed: higher is a sharper knee. */
  exponentLow: number;
  exponentHigh: number;
  /** How far the head falls again towards surge, 0 flat. */
  rise: number;
  surgeShareLow: number;
  surgeShareHigh: number;
  headCoefficient: number;
}

export class SuperellipseCompressor {
  readonly shape: SuperellipseShape;
  readonly topSpeedRpm: number;

  constructor(shape: SuperellipseShape) {
    this.shape = shape;
    this.topSpeedRpm = (shape.topTipMach * 346 * 60) / (Math.PI * shape.exducerM);
  }

  at(speedRpm: number, beta: number): MachinePoint {
    const s = this.shape;
    const share = speedRpm / this.topSpeedRpm;
    const mach = s.topTipMach * share;
    const choke = (s.exducerM ** 2 * 100 * mach) / (1 + (mach / 1.75) ** 3) ** (1 / 3);
    const surge = choke * (s.surgeShareLow + (s.surgeShareHigh - s.surgeShareLow) * share ** 1.5);
    // Drawn to 97 % of the choke flow.
    const flow = surge + beta * (0.97 * choke - surge);
    const x = flow / choke;
    const exponent = s.exponentLow + (s.exponentHigh - s.exponentLow) * share;
    const line = (1 - x ** exponent) ** (1 / 2.2) * (1 - s.rise * (1 - x) ** 2) * (1 - 0.12 * x);
    const head = 0.4 * s.headCoefficient * (1 - 0.04 * mach * mach) * mach * mach * line;
    const off = (x - (0.62 + 0.13 * share)) / 0.5;
    return {
      correctedMassFlowKgPerS: flow,
      pressureRatio: (1 + head) ** 3.5,
      efficiency: (0.79 - 0.4 * (share - 0.65) ** 2) * (1 - 0.55 * off * off * (1 + 0.3 * off)),
    };
  }
}

export const SUPERELLIPSES: readonly SuperellipseShape[] = [
  {
    name: 'superellipse 45',
    exducerM: 0.045,
    topTipMach: 1.5,
    exponentLow: 3,
    exponentHigh: 9,
    rise: 0.1,
    surgeShareLow: 0.25,
    surgeShareHigh: 0.6,
    headCoefficient: 0.62,
  },
  {
    name: 'superellipse 60, rising',
    exducerM: 0.06,
    topTipMach: 1.55,
    exponentLow: 3.5,
    exponentHigh: 7,
    rise: 0.35,
    surgeShareLow: 0.2,
    surgeShareHigh: 0.5,
    headCoefficient: 0.65,
  },
  {
    name: 'superellipse 74, narrow',
    exducerM: 0.074,
    topTipMach: 1.6,
    exponentLow: 6,
    exponentHigh: 16,
    rise: 0.05,
    surgeShareLow: 0.45,
    surgeShareHigh: 0.8,
    headCoefficient: 0.6,
  },
];
