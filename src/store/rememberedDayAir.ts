import { type Build, type DayAirReading, dayAir } from '../build/index.ts';
import { memory } from '../numerics/index.ts';

const known = memory<Build['air'], DayAirReading>();

/** The air of the day, the same object while air and inlet entries are the same. */
export function rememberedDayAir(build: Build): DayAirReading {
  return known(build.air, [build.inletPath], () => dayAir(build));
}
