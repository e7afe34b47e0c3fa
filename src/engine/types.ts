import type { Curve } from '../numerics/types.ts';
import type { FuelKey, FuelSupply } from './fuels.ts';

export type { FuelKey, FuelSupply };

export interface EngineInput {
  displacementM3: number;
  /** Left out: four. Only the estimated turbine inlet temperature asks: it goes with the piston speed, and that with the size of one cylinder. */
  cylinders?: number | undefined;
  strokesPerCycle: 2 | 4;
  compressionRatio: number;
  injection: 'port' | 'direct';
  fuel: FuelKey;
  /** Referred to manifold conditions, 0..2. */
  volumetricEfficiency: Curve;
  lambda: Curve;
  /** Brake specific fuel consumption, kg/J (1 g/kWh = 2.7778e-10 kg/J). */
  bsfcKgPerJ: Curve;
  /** 0..1 of brake power lost between crankshaft and wheels. */
  drivelineLoss: number;
  /** Fuel supply to be checked; left out when the user has not entered it. */
  fuelSupply?: FuelSupply | undefined;
}

/** With several turbos: each has a path of its own, or all breathe through one. */
export type PathOf = 'branch' | 'shared';

/**
 * Pressure loss that grows as W^2 / rho: entered as a loss at a flow, with the density it was measured at. The flow is that of a branch
 * or of all turbos together, as `of` says.
 */
export interface LossInput {
  /** Left out: 'branch'. */
  of?: PathOf | undefined;
  lossPa: number;
  atMassFlowKgPerS: number;
  atDensityKgPerM3: number;
}

export type CoolerInput =
  | { kind: 'none' }
  | {
      kind: 'cooler';
      /** 0..1; constant, or falling linearly between two entered flows (constant outside). */
      effectiveness: number;
      effectivenessAtFlow?: readonly { massFlowKgPerS: number; effectiveness: number }[] | undefined;
      coolantTemperatureK: number;
      /**
       * What cools: 'air' moves with the ambient temperature when a study changes that, its rise over ambient staying the same;
       * 'water' keeps its temperature. Left out: air.
       */
      medium?: 'air' | 'water' | undefined;
    };
