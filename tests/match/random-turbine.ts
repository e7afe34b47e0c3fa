import type { MatchInput } from '../../src/match/index.ts';
import { fitCapacity } from '../../src/turbine/index.ts';
import type { TurbineCapacity, TurbineInput } from '../../src/turbine/types.ts';
import { factoryTurbine } from '../machines/demo-turbines.ts';
import { typicalTurbine } from './typical-turbine.ts';

/** For an engine of two litres, with lines of several speeds and efficiencies. */
export function sheetCapacity(): TurbineCapacity {
  const fit = fitCapacity(factoryTurbine());
  if (!fit.ok) throw new Error(fit.problems.map((problem) => problem.message).join(' '));
  return fit.capacity;
}

const SHEET = sheetCapacity();
const ESTIMATE = typicalTurbine().capacity;

const ODD = [0, -1, 1e-9, 1e9, 1e300, Number.NaN, Number.POSITIVE_INFINITY];

/**
 * A turbine from a fifth to twenty times the size that would suit the engine, any kind of efficiency, temperature entered or estimated,
 * with or without exhaust loss.
 * @param oddness chance that any one number is replaced by one that means nothing or too much
 */
export function randomTurbine(random: () => number, input: MatchInput, oddness = 0): TurbineInput {
  const between = (low: number, high: number) =>
    random() < oddness ? (ODD[Math.floor(ODD.length * random())] as number) : low + (high - low) * random();
  const sheet = random() < 0.4;
  // An engine of an odd size is given a turbine for two litres.
  const drawn = input.engine.displacementM3 * 1e3;
  const litres = drawn > 0.1 && drawn < 100 ? drawn : 2;
  const size = Math.exp(between(Math.log(0.2), Math.log(20)));
  const kind = random();
  const tipMm = input.compressor.wheel.exducerMm ?? 60;
  return {
    capacity: sheet ? SHEET : ESTIMATE,
    capacityFactor: (size * litres) / 2.5,
    efficiency:
      sheet && kind < 0.5
        ? { kind: 'sheet' }
        : kind < 0.7
          ? { kind: 'number', value: between(0.3, 0.85) }
          : {
              kind: 'speed-ratio',
              best: between(0.5, 0.8),
              optimum: between(0.55, 0.75),
              wheelDiameterM: (tipMm / 1000) * between(0.7, 1.1),
            },
    mechanicalEfficiency: random() < 0.2 ? 1 : between(0.8, 1),
    exhaustLoss: {
      lossPa: random() < 0.2 ? 0 : between(0, 40_000),
      atMassFlowKgPerS: 0.1 * litres * between(0.7, 1.5),
      atDensityKgPerM3: between(0.25, 0.6),
    },
    inletTemperatureK:
      random() < 0.4
        ? undefined
        : [
            { engineSpeedRpm: 1500, value: between(700, 1200) },
            { engineSpeedRpm: 6000, value: between(800, 1400) },
          ],
    measuredBackPressureRatio: random() < 0.5 ? undefined : between(0.8, 1.8),
    efficiencyShift: random() < 0.8 ? undefined : between(-0.05, 0.05),
    inletTemperatureShiftK: random() < 0.8 ? undefined : between(-60, 60),
  };
}
