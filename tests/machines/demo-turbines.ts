import { turbineSheetToFile } from '../../src/build/index.ts';
import type { TurbineSheet } from '../../src/turbine/types.ts';
import { type TurbineShape, turbineSheet } from './turbine-machine.ts';

/**
 * The turbine sheets of the demonstration build: mean-line machines read as a person reads a sheet. No real turbo stands behind them.
 * demo-turbines.test.ts holds src/build/demo to this. Wheels are those of the cards in src/build/demo.ts.
 */
const SOURCE = 'Invented for demonstration: computed along the mean-line of a turbine, no real turbo stands behind it.';

const COMMON = {
  hubShare: 0.31,
  exitAngleDeg: 55,
  throatRadiusShare: 1.5,
  swirlCoefficient: 0.9,
  voluteLoss: 0.2,
  passageLoss: 0.58,
  leak: 0.06,
} as const;

export const FACTORY_TURBINE: TurbineShape = {
  ...COMMON,
  name: 'Factory-size 47.2/42.6 turbine (invented)',
  inducerM: 0.0472,
  exducerM: 0.0426,
  areaRadiusM: 0.022,
  tipHeightM: 0.0068,
};

export const LARGER_TURBINE: TurbineShape = {
  ...COMMON,
  name: 'Larger drop-in 50.1/45.5 turbine (invented)',
  inducerM: 0.0501,
  exducerM: 0.0455,
  areaRadiusM: 0.0262,
  tipHeightM: 0.0074,
};

const LOW = [0.86, 0.77, 0.69, 0.62, 0.55, 0.49, 0.44, 0.4] as const;
const MIDDLE = [0.86, 0.78, 0.7, 0.63, 0.57, 0.52, 0.47, 0.43] as const;
const HIGH = [0.86, 0.79, 0.72, 0.66, 0.6, 0.55, 0.515, 0.49] as const;
const TOP = [0.88, 0.83, 0.78, 0.73, 0.69, 0.65, 0.62] as const;

const read = (shape: TurbineShape, [low, middle, high, top]: readonly [number, number, number, number]) =>
  turbineSheet(shape, {
    source: SOURCE,
    reference: { temperatureK: 288.15, pressurePa: 101325 },
    lines: [
      [low, LOW],
      [middle, MIDDLE],
      [high, HIGH],
      [top, TOP],
    ],
    decimals: { ratio: 2, flow: 4, efficiency: 3 },
  });

export const factoryTurbine = (): TurbineSheet => read(FACTORY_TURBINE, [44000, 60000, 76000, 90000]);
export const largerTurbine = (): TurbineSheet => read(LARGER_TURBINE, [38000, 53000, 67000, 80000]);

/** As they stand in src/build/demo. */
export const demoTurbineFiles = () => ({
  'factory-size-turbine': turbineSheetToFile(factoryTurbine()),
  'larger-drop-in-turbine': turbineSheetToFile(largerTurbine()),
});
