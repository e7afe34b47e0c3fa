import { DRY_AIR_GAS_CONSTANT } from '../air/index.ts';
import type { FlowUnit, ReferenceState } from '../compressor/index.ts';
import { sheetFlowToKgPerS } from '../units/index.ts';

/** Constant properties: the dynamic part is a few per cent of the pressure, and what their variation does to it is far below reading. */
const GAMMA = 1.4;
const TURNS = 60;

interface StaticOutlet {
  /** Corrected flow, kg/s at the reference. */
  correctedMassFlowKgPerS: number;
  /** Static outlet pressure over total inlet pressure, above 1. */
  staticPressureRatio: number;
  outletDiameterM: number;
  reference: ReferenceState;
  /** Isentropic efficiency total to total, 0..1: only the outlet temperature depends on it. */
  efficiency: number;
}

type TotalOutlet =
  | { ok: true; pressureRatio: number; outletMach: number; outletVelocityMPerS: number }
  | { ok: false; reason: 'choked' | 'not-positive' };

/**
 * Total-to-total pressure ratio from one whose outlet pressure is static, by the mean flow through the outlet's area.
 * At the reference state the flow is the corrected flow itself; total outlet temperature T02 = T01 [1 + (PR^((g-1)/g) - 1)/eta]; the outlet
 * Mach number from the mass flow function W sqrt(R T02) / (A p2) = M sqrt(g) sqrt(1 + (g-1)/2 M²); p02/p2 = (1 + (g-1)/2 M²)^(g/(g-1)).
 * PR stands in T02, so the three are iterated until PR stands still to 1e-12.
 * Source: Dixon & Hall, Fluid Mechanics and Thermodynamics of Turbomachinery, ch. 1 (compressible flow relations, isentropic efficiency).
 *
 * @returns 'choked' where the area cannot carry the flow (outlet Mach number 1 or more): a wrong diameter; 'not-positive' for values
 *   that are not numbers above zero or an efficiency outside 0..1.
 */
export function totalPressureRatio(outlet: StaticOutlet): TotalOutlet {
  const { correctedMassFlowKgPerS: flow, staticPressureRatio, outletDiameterM, reference, efficiency } = outlet;
  const positive = [
    flow,
    staticPressureRatio,
    outletDiameterM,
    reference.temperatureK,
    reference.pressurePa,
    efficiency,
  ];
  if (!positive.every((v) => v > 0 && Number.isFinite(v)) || efficiency > 1)
    return { ok: false, reason: 'not-positive' };
  const area = (Math.PI * outletDiameterM ** 2) / 4;
  const staticPa = staticPressureRatio * reference.pressurePa;
  let ratio = staticPressureRatio;
  let mach2 = 0;
  let temperatureK = reference.temperatureK;
  for (let i = 0; i < TURNS; i++) {
    temperatureK = reference.temperatureK * (1 + (ratio ** ((GAMMA - 1) / GAMMA) - 1) / efficiency);
    const phi2 = (flow * Math.sqrt(DRY_AIR_GAS_CONSTANT * temperatureK)) ** 2 / ((area * staticPa) ** 2 * GAMMA);
    // M² (1 + (g-1)/2 M²) = phi², solved for M².
    mach2 = (Math.sqrt(1 + 2 * (GAMMA - 1) * phi2) - 1) / (GAMMA - 1);
    if (!(mach2 < 1)) return { ok: false, reason: 'choked' };
    const next = staticPressureRatio * (1 + ((GAMMA - 1) / 2) * mach2) ** (GAMMA / (GAMMA - 1));
    const still = Math.abs(next - ratio) <= 1e-12 * ratio;
    ratio = next;
    if (still) break;
  }
  const staticTemperatureK = temperatureK / (1 + ((GAMMA - 1) / 2) * mach2);
  return {
    ok: true,
    pressureRatio: ratio,
    outletMach: Math.sqrt(mach2),
    outletVelocityMPerS: Math.sqrt(mach2 * GAMMA * DRY_AIR_GAS_CONSTANT * staticTemperatureK),
  };
}

/** Common practice, no source: a middling efficiency where none is read; it moves only the outlet temperature, and little with it. */
export const ASSUMED_EFFICIENCY = 0.7;

/** Pressure ratio between what the sheet prints and total to total, which the tables hold. */
export interface RatioReader {
  /** null: no total ratio belongs to it (the outlet could not pass the flow). Flow in the sheet's unit. */
  toTotal(flow: number, printed: number): number | null;
  toPrinted(flow: number, total: number): number | null;
}

/**
 * How pressure ratios are read off a sheet: as they stand, or with the outlet's dynamic pressure added.
 * @param outlet of a sheet that prints static ratios, m; null for one that prints totals
 */
export function ratioReader(
  outlet: { diameterM: number; reference: ReferenceState } | null,
  flowUnit: FlowUnit,
): RatioReader {
  if (outlet === null) return { toTotal: (_flow, printed) => printed, toPrinted: (_flow, total) => total };
  const toTotal = (flow: number, printed: number): number | null => {
    if (!(flow > 0)) return printed;
    const total = totalPressureRatio({
      correctedMassFlowKgPerS: sheetFlowToKgPerS(flow, flowUnit, outlet.reference),
      staticPressureRatio: printed,
      outletDiameterM: outlet.diameterM,
      reference: outlet.reference,
      efficiency: ASSUMED_EFFICIENCY,
    });
    return total.ok ? total.pressureRatio : null;
  };
  const toPrinted = (flow: number, total: number): number | null => {
    let printed = total;
    // The dynamic part is small and falls as the static pressure rises: this settles in a few rounds.
    for (let i = 0; i < 30; i++) {
      const back = toTotal(flow, printed);
      if (back === null) return null;
      printed += total - back;
      if (!(printed > 0)) return null;
      if (Math.abs(total - back) < 1e-10) break;
    }
    return printed;
  };
  return { toTotal, toPrinted };
}
