import type { Curve } from '../numerics/types.ts';
import type { FlowParameterUnit, SheetMassFlowUnit } from '../units/index.ts';

/** A turbine sheet as entered, values in the sheet's own units. Expansion ratio is total to static: p03/p4. */
export interface TurbineSheet {
  name: string;
  source: string;
  /**
   * What the flows are. 'corrected': W sqrt(T03/Tref) / (p03/pref) in a unit of mass flow. 'parameter': W sqrt(T03)/p03 in
   * kg sqrt(K) / (s times the pressure unit), which needs no reference state.
   */
  flow:
    | { kind: 'corrected'; unit: SheetMassFlowUnit; reference: { temperatureK: number; pressurePa: number } }
    | { kind: 'parameter'; pressureUnit: FlowParameterUnit };
  lines: readonly TurbineLine[];
  invented?: boolean | undefined;
}

export interface TurbineLine {
  /**
   * Corrected speed, rpm: N / sqrt(T03/Tref) with the reference temperature of the flow; with a 'parameter' sheet N / sqrt(T03),
   * rpm per sqrt(K). Left out: the sheet gives none.
   */
  speedRpm?: number | undefined;
  /** In any order. */
  points: readonly TurbineSheetPoint[];
}

export interface TurbineSheetPoint {
  expansionRatio: number;
  flow: number;
  /** 0..1 */
  efficiency?: number | undefined;
}

/** The flow capacity of a turbine: read off a sheet, or estimated from measurements. */
export interface TurbineCapacity {
  from: 'sheet' | 'estimate';
  /** Half width as a share: what an estimate may be off; 0 for a sheet. */
  band: number;
  /**
   * Flow parameter W sqrt(R T03) / p03, m2: rises with the expansion ratio until the turbine chokes, then stays.
   * @param expansionRatio p03/p4, 1 or more
   * @param reducedSpeed N / sqrt(R T03), rpm per (m/s)
   */
  flowParameter(expansionRatio: number, reducedSpeed: number): number;
  /** True where the answer lies outside the points that were entered. */
  isExtended(expansionRatio: number, reducedSpeed: number): boolean;
  /** True where more expansion brings no more flow parameter. */
  isChoked(expansionRatio: number, reducedSpeed: number): boolean;
  /** Efficiency from the sheet's points, held beyond them; null where the sheet has none. */
  efficiency(expansionRatio: number, reducedSpeed: number): number | null;
  /**
   * The nozzle law that the points are fitted by: flow parameter = areaM2 psi(ER^exponent), the expansion lessened by what the rotation
   * holds back (`lawFlowParameter`; heldBack left out: nothing). Left out: there is no such law.
   */
  readonly law?: { areaM2: number; exponent: number; heldBack?: number | undefined } | undefined;
  /** Curves for drawing, one for each line of the sheet (one for an estimate), with the entered points. */
  readonly lines: readonly CapacityLine[];
}

export interface CapacityLine {
  /** null: the sheet gives none. */
  reducedSpeed: number | null;
  /** Entered points, in rising expansion ratio; none for an estimate. */
  points: readonly { expansionRatio: number; flowParameterM2: number; efficiency: number | null }[];
}

/** Isentropic efficiency of the turbine, total to static. */
export type TurbineEfficiencyInput =
  /** Off the sheet's points. */
  | { kind: 'sheet' }
  | { kind: 'number'; value: number }
  /** best (2 v - v^2), v = (U/C0) / optimum, U at the rotor's larger diameter. */
  | { kind: 'speed-ratio'; best: number; optimum: number; wheelDiameterM: number };

/** The turbine of a candidate and the exhaust that it hangs in, all SI. */
export interface TurbineInput {
  capacity: TurbineCapacity;
  efficiency: TurbineEfficiencyInput;
  /** 0..1; 1 where the efficiency already holds the bearing's losses, as gas-stand sheets often do. */
  mechanicalEfficiency: number;
  /** Loss of the exhaust system behind the turbine, with the density it was measured at. */
  exhaustLoss: {
    of?: 'branch' | 'shared' | undefined;
    lossPa: number;
    atMassFlowKgPerS: number;
    atDensityKgPerM3: number;
  };
  /** Turbine inlet temperature, K. Left out: estimated from fuel, lambda and bsfc by the engine's energy balance. */
  inletTemperatureK?: Curve | undefined;
  /** p3/p_m at which the volumetric efficiency was measured. Left out: 1. */
  measuredBackPressureRatio?: number | undefined;
  /** False: nothing lets exhaust past the turbine. Left out: true. */
  hasGate?: boolean | undefined;
  /** Effective area of the open gate of one turbo, m2: flow coefficient times area. Left out: not known, the gate passes whatever it must. */
  gateAreaM2?: number | undefined;
  /** Factor on the capacity and shift of the efficiency, for studies. Left out: 1 and 0. */
  capacityFactor?: number | undefined;
  efficiencyShift?: number | undefined;
  /** Shift of the turbine inlet temperature in K, for studies. Left out: 0. */
  inletTemperatureShiftK?: number | undefined;
}
