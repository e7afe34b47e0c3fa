import type { MapDraft } from '../../../build/index.ts';
import { totalPressureRatio } from '../../../reading/index.ts';
import { parseQuantity, sheetFlowToKgPerS } from '../../../units/index.ts';

/** Common practice, no source: a middling efficiency where none is read; it moves only the outlet temperature, and little with it. */
const ASSUMED_EFFICIENCY = 0.7;

/** Pressure ratio between what the sheet prints and total to total, which the tables hold. */
export interface RatioReader {
  /** null: no total ratio belongs to it (the outlet could not pass the flow). */
  toTotal(flow: number, printed: number): number | null;
  toPrinted(flow: number, total: number): number | null;
}

const SAME: RatioReader = { toTotal: (_flow, printed) => printed, toPrinted: (_flow, total) => total };

/** How the sheet's pressure ratios are read: as they stand, or with the outlet's dynamic pressure added where its diameter is known. */
export function ratioReader(draft: MapDraft): RatioReader {
  const outlet = staticOutlet(draft);
  if (outlet === null) return SAME;
  const toTotal = (flow: number, printed: number): number | null => {
    if (!(flow > 0)) return printed;
    const total = totalPressureRatio({
      correctedMassFlowKgPerS: sheetFlowToKgPerS(flow, draft.flowUnit, outlet.reference),
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

/** The outlet that static ratios are corrected with; null where the sheet prints totals, or diameter or reference are not known yet. */
export function staticOutlet(draft: MapDraft) {
  const { habits, reference } = draft;
  if (habits?.outletPressure !== 'static') return null;
  const diameter = parseQuantity(habits.outletDiameter.text, 'wheel-length', habits.outletDiameter.unit);
  const temperature = parseQuantity(reference.temperature.text, 'temperature', reference.temperature.unit);
  const pressure = parseQuantity(reference.pressure.text, 'pressure-absolute', reference.pressure.unit);
  if (!diameter.ok || !temperature.ok || !pressure.ok) return null;
  const [diameterM, temperatureK, pressurePa] = [diameter.si, temperature.si, pressure.si];
  return diameterM > 0 && temperatureK > 0 && pressurePa > 0
    ? { diameterM, reference: { temperatureK, pressurePa } }
    : null;
}
