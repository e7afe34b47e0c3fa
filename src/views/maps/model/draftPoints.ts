import type { MapDraft } from '../../../build/index.ts';
import type { FlowAndRatio, SheetPlace } from '../../../compressor/index.ts';
import { kgPerSToSheetFlow, parseNumber, parseQuantity, REFERENCE_GAS_CONSTANT } from '../../../units/index.ts';

/** Used for drawing while the sheet's own reference cannot be read: it cancels out between points and axis. */
const STAND_IN = { temperatureK: 298.15, pressurePa: 100_000 };

/** The reference state as far as it can be read. */
export function drawingReference(draft: MapDraft): { temperatureK: number; pressurePa: number } {
  if (draft.flowParameter !== undefined) return STAND_IN;
  const { temperature, pressure } = draft.reference;
  const t = parseQuantity(temperature.text, 'temperature', temperature.unit);
  const p = parseQuantity(pressure.text, 'pressure-absolute', pressure.unit);
  return t.ok && p.ok && t.si > 0 && p.si > 0 ? { temperatureK: t.si, pressurePa: p.si } : STAND_IN;
}

/** How much of the flow parameter's unit of pressure one kPa is. */
const KPA = { kPa: 1, bar: 0.01, MPa: 0.001 } as const;

/**
 * Flow in the sheet's own unit of one corrected kg/s at the drawing reference. A flow parameter is drawn as the corrected flow that it is
 * at the stand-in reference, which cancels out on the axis.
 */
export function flowPerKgPerS(draft: MapDraft): number {
  if (draft.flowParameter === undefined) return kgPerSToSheetFlow(1, draft.flowUnit, drawingReference(draft));
  return parameterPerKgPerS(draft.flowParameter, STAND_IN);
}

/** Flow parameter W sqrt(T03)/p03 in kg sqrt(K)/(s unit) of a corrected flow of 1 kg/s at a reference state. */
export function parameterPerKgPerS(
  unit: NonNullable<MapDraft['flowParameter']>,
  { temperatureK, pressurePa }: { temperatureK: number; pressurePa: number },
): number {
  return Math.sqrt(temperatureK) / ((pressurePa / 1000) * KPA[unit]);
}

/** Speed on the sheet over the reduced speed N / sqrt(R T03): a sheet of flow parameters has N / sqrt(T03). */
export function sheetSpeedRoot(draft: MapDraft): number {
  const { temperatureK } = drawingReference(draft);
  return Math.sqrt(REFERENCE_GAS_CONSTANT * (draft.flowParameter === undefined ? temperatureK : 1));
}

/** A row of a table as a place on the map; null when its flow or pressure ratio cannot be read. */
export function pointOf(
  draft: MapDraft,
  row: { flow: string; pressureRatio: string } | undefined,
): FlowAndRatio | null {
  if (row === undefined) return null;
  const flow = parseNumber(row.flow);
  const ratio = parseNumber(row.pressureRatio);
  if (!flow.ok || !ratio.ok || !(flow.value > 0) || !(ratio.value > 0)) return null;
  return {
    correctedMassFlowKgPerS: flow.value / flowPerKgPerS(draft),
    pressureRatio: ratio.value,
  };
}

/** Where on the plot a place of the tables lies: the point, or the middle of the line, island or surge line; null for single values. */
export function placeOnPlot(draft: MapDraft, place: SheetPlace | undefined): FlowAndRatio | null {
  if (place === undefined || place.part === 'reference' || place.part === 'limits' || place.part === 'wheel')
    return null;
  const rows =
    place.part === 'surge-line'
      ? draft.surgeLine
      : place.part === 'island'
        ? draft.islands[place.island]?.points
        : draft.speedLines[place.line]?.points;
  if (rows === undefined || rows.length === 0) return null;
  return pointOf(draft, rows[place.point ?? rows.length >> 1]);
}
