import type { Build, Typed } from './document.ts';

const typed = (text: string, unit: string): Typed => ({ text, unit });

/*
 * What a build holds for the studies over altitude when nobody has entered anything, and what a file from before these studies gets.
 * Apart from defaults.ts because the schema needs it as well.
 */

/** From sea level to the height of the highest paved passes; as many rows as a table on one page holds. */
export const defaultAltitudes: Build['altitudes'] = {
  from: typed('0', 'm'),
  to: typed('3000', 'm'),
  step: typed('500', 'm'),
  temperature: 'day',
  shown: 'both',
};

export const defaultCalibration: Build['calibration'] = {
  pressureKind: 'gauge',
  step: typed('0.01', 'bar'),
  bladesPastSensor: typed('6', '1'),
};

/**
 * Half widths of common practice (no source): what separates a careful estimate from the engine as it stands. Those of the map are what
 * is lost by reading it off a printed sheet.
 */
export const defaultSpread: Build['spread'] = {
  tolerances: {
    volumetricEfficiency: typed('3', '%'),
    bsfc: typed('4', '%'),
    lambda: typed('2', '%'),
    mapFlow: typed('1', '%'),
    mapPressureRatio: typed('0.5', '%'),
    mapEfficiency: typed('1.5', '%'),
    coolerEffectiveness: typed('5', '%'),
    airTemperature: typed('5', 'K'),
    ambientPressure: typed('0.5', '%'),
    inletLoss: typed('20', '%'),
    chargeLoss: typed('20', '%'),
    turbineCapacity: typed('3', '%'),
    turbineEfficiency: typed('3', '%'),
    turbineInletTemperature: typed('30', 'K'),
    exhaustLoss: typed('25', '%'),
  },
  samples: typed('1024', '1'),
  seed: typed('1', '1'),
};
