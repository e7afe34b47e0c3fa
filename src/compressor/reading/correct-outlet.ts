import { flowFactor } from '../fit-surface.ts';
import type { SheetPlace } from '../types.ts';
import type { DataPlace } from './calibration-types.ts';
import type { Assumption, CompletingProblem, SheetReading } from './sheet-reading.ts';
import { totalPressureRatio } from './static-outlet.ts';

const ASSUMED_EFFICIENCY = 0.7;

export interface OutletCorrection {
  /** The place with its pressure ratio total to total; as it was where none can be made, which is then among the problems. */
  correct<T extends DataPlace & { efficiency?: number | undefined }>(point: T, place: SheetPlace): T;
  problems: CompletingProblem[];
  /** To be asked for when all places have been corrected. */
  assumed(): Assumption[];
}

/** Total pressure ratios from what the sheet prints: nothing to do, or the dynamic pressure at the outlet added point by point. */
export function outletCorrection(reading: SheetReading): OutletCorrection {
  const { outletPressure } = reading;
  const problems: CompletingProblem[] = [];
  if (outletPressure.kind === 'total') {
    return {
      correct: (point) => point,
      problems,
      assumed: () => [{ code: 'total-pressure', message: 'Pressure ratios are total to total, as on the sheet.' }],
    };
  }
  const { outletDiameterMm, assumedEfficiency = ASSUMED_EFFICIENCY } = outletPressure;
  if (outletDiameterMm === undefined || !(outletDiameterMm > 0)) {
    problems.push({
      code: 'no-outlet-diameter',
      message:
        'The sheet gives static outlet pressure. Enter the inner diameter of the compressor outlet, so that it can be turned into total pressure.',
    });
    return { correct: (point) => point, problems, assumed: () => [] };
  }
  const factor = flowFactor(reading.flowUnit, reading.reference);
  let largest = 0;
  let without = 0;
  let all = 0;
  return {
    problems,
    correct: (point, place) => {
      const { efficiency } = point;
      const known = efficiency !== undefined && efficiency > 0 && efficiency < 1;
      const total = totalPressureRatio({
        correctedMassFlowKgPerS: point.flow * factor,
        staticPressureRatio: point.pressureRatio,
        outletDiameterM: outletDiameterMm / 1000,
        reference: reading.reference,
        efficiency: known ? efficiency : assumedEfficiency,
      });
      if (!total.ok) {
        // What is no number is the audit's to name; it is carried over as it was typed.
        if (total.reason === 'choked') problems.push(choked(outletDiameterMm, place));
        return point;
      }
      all++;
      if (!known) without++;
      largest = Math.max(largest, total.pressureRatio / point.pressureRatio - 1);
      return { ...point, pressureRatio: Number(total.pressureRatio.toPrecision(6)) };
    },
    assumed: () => staticAssumptions(outletDiameterMm, largest, without, all, assumedEfficiency),
  };
}

function choked(diameterMm: number, place: SheetPlace): CompletingProblem {
  const message = `An outlet of ${diameterMm} mm cannot carry this flow below the speed of sound. Check the outlet diameter and the flow unit.`;
  return { code: 'outlet-choked', message, place };
}

function staticAssumptions(
  diameterMm: number,
  largest: number,
  without: number,
  all: number,
  assumedEfficiency: number,
): Assumption[] {
  const assumed: Assumption[] = [
    {
      code: 'static-to-total',
      message: `Static outlet pressure was turned into total with an outlet of ${diameterMm} mm: the pressure ratios rise by up to ${(100 * largest).toFixed(1)} %.`,
    },
  ];
  if (without > 0) {
    assumed.push({
      code: 'efficiency-assumed',
      message: `For the outlet temperature an efficiency of ${assumedEfficiency} was assumed at ${without} of ${all} points; 0.1 more or less changes the pressure ratio by less than a tenth of the correction.`,
    });
  }
  return assumed;
}
