import { flowFactor } from '../fit-surface.ts';
import type { CompressorSurface, MapSheet } from '../types.ts';
import { referenceFactors } from './refer-to.ts';
import type { ScaledSurface } from './types.ts';

/**
 * The donor's sheet as that of the scaled wheel, flow in kg/s: its lines, points, surge line and islands moved as the surface moves
 * them, for drawing and tables. No rated speed: the donor's is not this wheel's. A point whose speed the donor does not know is left out.
 */
export function scaledSheet(donor: MapSheet, donorSurface: CompressorSurface, scaled: ScaledSurface): MapSheet {
  const factor = flowFactor(donor.flowUnit, donor.reference);
  const moved = (flow: number, speedRpm: number | null): number | null =>
    speedRpm === null ? null : scaled.flowFromSource(flow * factor, speedRpm);
  const place = (p: { flow: number; pressureRatio: number }) => {
    const flow = moved(p.flow, donorSurface.at(p.flow * factor, p.pressureRatio).correctedSpeedRpm);
    return flow === null ? [] : [{ flow, pressureRatio: p.pressureRatio }];
  };
  const { limits: _limits, ...kept } = donor;
  return {
    ...kept,
    flowUnit: 'kg/s',
    wheel: scaled.wheel,
    speedLines: donor.speedLines.map((line) => ({
      speedRpm: line.speedRpm * scaled.estimate.speedFactor,
      points: line.points.flatMap((point) => {
        const flow = moved(point.flow, line.speedRpm);
        return flow === null ? [] : [{ ...point, flow }];
      }),
    })),
    ...(donor.surgeLine === undefined ? {} : { surgeLine: donor.surgeLine.flatMap(place) }),
    ...(donor.islands === undefined
      ? {}
      : { islands: donor.islands.map((island) => ({ ...island, points: island.points.flatMap(place) })) }),
  };
}

/** A sheet brought to another reference state, flow in kg/s: what the tables and the plot of two maps on equal axes are made of. */
export function referredSheet(sheet: MapSheet, reference: MapSheet['reference']): MapSheet {
  const factors = referenceFactors(sheet.reference, reference);
  const flow = flowFactor(sheet.flowUnit, sheet.reference) * factors.flow;
  const place = <P extends { flow: number }>(p: P): P => ({ ...p, flow: p.flow * flow });
  return {
    ...sheet,
    reference,
    flowUnit: 'kg/s',
    speedLines: sheet.speedLines.map((line) => ({
      speedRpm: line.speedRpm * factors.speed,
      points: line.points.map(place),
    })),
    ...(sheet.surgeLine === undefined ? {} : { surgeLine: sheet.surgeLine.map(place) }),
    ...(sheet.islands === undefined
      ? {}
      : { islands: sheet.islands.map((island) => ({ ...island, points: island.points.map(place) })) }),
  };
}
