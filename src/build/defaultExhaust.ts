import type { Build, Typed } from './document.ts';

const typed = (text: string, unit: string): Typed => ({ text, unit });

/**
 * What a build holds for the turbine's surroundings when nobody has entered anything, and what a file from before the turbine gets. Common
 * practice, no source: 15 kPa at 0.20 kg/s is an exhaust system of a sporting road car. The density is that of exhaust at ambient pressure
 * and 1173 K (900 degC), at which the loss is reckoned: 101.3 kPa / (287 J/(kg K) x 1173 K) = 0.30 kg/m3. Apart from defaults.ts because
 * the schema needs it as well.
 */
export const defaultExhaust: Build['exhaust'] = {
  loss: typed('15', 'kPa'),
  atFlow: typed('0.20', 'kg/s'),
  atDensity: typed('0.30', 'kg/m3'),
  inletTemperature: { kind: 'estimated', curve: { unit: 'degC', rows: [{ engineSpeed: '2000', value: '900' }] } },
  measuredBackPressureRatio: typed('1', '1'),
};

/** Empty: no limit of the turbine side is held. */
export const defaultTurbineLimits: Pick<Build['limits'], 'backPressureRatio' | 'turbineInletTemperature'> = {
  backPressureRatio: typed('', '1'),
  turbineInletTemperature: typed('', 'degC'),
};
