import { turbineSheetToFile } from '../../src/build/turbineFile.ts';
import type { TurbineSheet } from '../../src/turbine/types.ts';
import { type TurbineShape, turbineSheet } from './turbine-machine.ts';

/**
 * The turbine sheets of the demonstration build: mean-line machines read as a person reads a sheet. No real turbo stands behind them.
 * demo-turbines.test.ts holds src/build/demo to this. Wheels are those of the cards in src/build/demo.ts.
 */
const SOURCE = 'Invented for demonstration: computed along the mean-line of a turbine, no real turbo stands behind it.';

/** Of the second build, whose printed sheet is full. */
const SHORT = 'Invented: computed along a mean line.';

const COMMON = {
  hubShare: 0.31,
  exitAngleDeg: 42,
  throatRadiusShare: 1.5,
  swirlCoefficient: 0.9,
  voluteLoss: 0.12,
  passageLoss: 0.4,
  leak: 0.06,
} as const;

export const FACTORY_TURBINE: TurbineShape = {
  ...COMMON,
  name: 'Factory-size 47.2/42.6 turbine (invented)',
  exitAngleDeg: 40,
  inducerM: 0.0472,
  exducerM: 0.0426,
  areaRadiusM: 0.0205,
  tipHeightM: 0.007,
};

export const LARGER_TURBINE: TurbineShape = {
  ...COMMON,
  name: 'Larger drop-in 50.1/45.5 turbine (invented)',
  inducerM: 0.0501,
  exducerM: 0.0455,
  areaRadiusM: 0.0255,
  tipHeightM: 0.0074,
};

export const SMALL_TURBINE: TurbineShape = {
  ...COMMON,
  name: 'Small 39.0/35.0 turbine (invented)',
  exitAngleDeg: 40,
  inducerM: 0.039,
  exducerM: 0.035,
  areaRadiusM: 0.0185,
  tipHeightM: 0.0058,
};

export const SINGLE_TURBINE: TurbineShape = {
  ...COMMON,
  name: 'Large single 65.0/59.0 turbine (invented)',
  inducerM: 0.065,
  exducerM: 0.059,
  areaRadiusM: 0.0325,
  tipHeightM: 0.0096,
};

// U/C0 of the points, as far down as the machine goes before it chokes: the engine drives both turbines to 0.45.
const LOWEST = [0.86, 0.72, 0.62, 0.55, 0.48, 0.42, 0.37] as const;
const LOW = [0.86, 0.77, 0.69, 0.62, 0.55, 0.49, 0.44, 0.4] as const;
const MIDDLE = [0.86, 0.77, 0.69, 0.62, 0.56, 0.51, 0.46, 0.42] as const;

const read = (shape: TurbineShape, lines: readonly (readonly [number, readonly number[]])[], source = SOURCE) =>
  turbineSheet(shape, {
    source,
    reference: { temperatureK: 288.15, pressurePa: 101325 },
    lines,
    decimals: { ratio: 2, flow: 4, efficiency: 3 },
  });

export const factoryTurbine = (): TurbineSheet =>
  read(FACTORY_TURBINE, [
    [21000, LOWEST],
    [40000, LOW],
    [56000, MIDDLE],
    [68000, [0.84, 0.76, 0.69, 0.63, 0.57, 0.52, 0.48, 0.445]],
    [79000, [0.84, 0.77, 0.7, 0.64, 0.59, 0.55, 0.52, 0.5]],
  ]);

export const largerTurbine = (): TurbineSheet =>
  read(LARGER_TURBINE, [
    [19000, LOWEST],
    [34000, LOW],
    [48000, MIDDLE],
    [58000, [0.84, 0.76, 0.69, 0.63, 0.57, 0.52, 0.47, 0.42]],
    [68000, [0.84, 0.77, 0.7, 0.64, 0.59, 0.55, 0.51, 0.47]],
  ]);

export const smallTurbine = (): TurbineSheet =>
  read(
    SMALL_TURBINE,
    [
      [25000, LOWEST],
      [48000, LOW],
      [68000, [0.86, 0.77, 0.69, 0.62, 0.55, 0.49, 0.44, 0.39]],
      [82000, [0.84, 0.76, 0.69, 0.63, 0.57, 0.51, 0.46, 0.41]],
      [96000, [0.84, 0.77, 0.7, 0.64, 0.59, 0.55, 0.52, 0.5]],
    ],
    SHORT,
  );

export const singleTurbine = (): TurbineSheet =>
  read(
    SINGLE_TURBINE,
    [
      [15000, LOWEST],
      [26000, LOW],
      [37000, MIDDLE],
      [45000, [0.84, 0.76, 0.69, 0.63, 0.57, 0.52, 0.47, 0.42]],
      [52500, [0.84, 0.77, 0.7, 0.64, 0.59, 0.55, 0.51, 0.47]],
    ],
    SHORT,
  );

/** As they stand in src/build/demo. */
export const demoTurbineFiles = () => ({
  'factory-size-turbine': turbineSheetToFile(factoryTurbine()),
  'larger-drop-in-turbine': turbineSheetToFile(largerTurbine()),
  'small-turbine': turbineSheetToFile(smallTurbine()),
  'large-single-turbine': turbineSheetToFile(singleTurbine()),
});
