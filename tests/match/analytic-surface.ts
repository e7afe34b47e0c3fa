import type { CompressorSurface, SurfaceAt } from '../../src/compressor/types.ts';

export interface AnalyticCompressor {
  /** Corrected speed of the top line, rev/min. */
  topRpm: number;
  /** Corrected flow at the choke end of the top line, kg/s. */
  topFlow: number;
  /** Pressure ratio of the top line at no flow. */
  topRatio: number;
  bestEfficiency: number;
  exducerMm: number;
}

export const MEDIUM: AnalyticCompressor = {
  topRpm: 150_000,
  topFlow: 0.36,
  topRatio: 4.2,
  bestEfficiency: 0.77,
  exducerMm: 62,
};

const SURGE_PHI = 0.5;
const FALL = 0.62;
const LOWEST_N = 0.35;
/** The surface answers this far past its edges. */
const REACH = { left: 0.8, right: 1.06, top: 1.1, bottom: 0.05 };

/**
 * A compressor in closed form, so that tests know the machine exactly: with n = N/N0 and phi = W/(n W0),
 * PR = 1 + (PR0 - 1) n^2 (1 - 0.62 phi^2), surge at phi = 0.5, choke end at phi = 1. Both ways are explicit:
 * (PR - 1)/W^2 gives phi, and phi gives n. Efficiency is a paraboloid over phi and n.
 */
export function analyticSurface(c: AnalyticCompressor = MEDIUM, hasEfficiency = true): CompressorSurface {
  const efficiency = (n: number, phi: number) =>
    hasEfficiency ? Math.max(0.25, c.bestEfficiency * (1 - 1.4 * (phi - 0.72) ** 2 - 0.35 * (n - 0.7) ** 2)) : null;
  const ratio = (n: number, phi: number) => 1 + (c.topRatio - 1) * n * n * (1 - FALL * phi * phi);
  const end = (rpm: number, phi: number) => {
    const n = rpm / c.topRpm;
    if (n < REACH.bottom || n > REACH.top) return null;
    return { correctedMassFlowKgPerS: n * phi * c.topFlow, pressureRatio: ratio(n, phi) };
  };
  const at = (W: number, PR: number): SurfaceAt => {
    const outside: SurfaceAt = {
      region: 'outside',
      correctedSpeedRpm: null,
      efficiency: null,
      beta: null,
      extended: true,
    };
    if (!(PR > 1) || !(W > 0)) return outside;
    const phi = 1 / Math.sqrt(((PR - 1) / (c.topRatio - 1)) * (c.topFlow / W) ** 2 + FALL);
    const n = W / c.topFlow / phi;
    if (phi < REACH.left * SURGE_PHI || phi > REACH.right || n > REACH.top || n < REACH.bottom) return outside;
    const region =
      phi < SURGE_PHI
        ? 'left-of-surge'
        : phi > 1
          ? 'right-of-choke'
          : n > 1
            ? 'above-top-line'
            : n < LOWEST_N
              ? 'below-lowest-line'
              : 'inside';
    return {
      region,
      correctedSpeedRpm: n * c.topRpm,
      efficiency: efficiency(n, phi),
      beta: (phi - SURGE_PHI) / (1 - SURGE_PHI),
      extended: region !== 'inside',
    };
  };
  return {
    reference: { temperatureK: 298.15, pressurePa: 100_000 },
    hasEfficiency,
    lowestLineRpm: LOWEST_N * c.topRpm,
    highestLineRpm: c.topRpm,
    lowestAnswerRpm: REACH.bottom * c.topRpm,
    highestAnswerRpm: REACH.top * c.topRpm,
    extent: { maxFlowKgPerS: c.topFlow, maxPressureRatio: ratio(1, SURGE_PHI) },
    limits: { shaftSpeedRpm: c.topRpm },
    wheel: { exducerMm: c.exducerMm },
    at,
    on: (rpm, beta) => {
      const phi = SURGE_PHI + beta * (1 - SURGE_PHI);
      const place = beta < 0 || beta > 1 ? null : end(rpm, phi);
      const n = rpm / c.topRpm;
      return place && { ...place, efficiency: efficiency(n, phi), extended: n > 1 || n < LOWEST_N };
    },
    surgeAt: (rpm) => end(rpm, SURGE_PHI),
    chokeAt: (rpm) => end(rpm, 1),
    surgeFlowAt: (PR) => {
      const n = Math.sqrt((PR - 1) / (c.topRatio - 1) / (1 - FALL * SURGE_PHI ** 2));
      return PR > 1 && n <= REACH.top ? n * SURGE_PHI * c.topFlow : null;
    },
  };
}
