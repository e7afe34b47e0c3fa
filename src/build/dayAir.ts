import { DRY_AIR_GAS_CONSTANT, density, moistAir } from '../air/index.ts';
import type { ReferenceState } from '../compressor/types.ts';
import type { Ambient } from '../match/types.ts';
import type { Build } from './document.ts';
import { InputReader } from './inputReader.ts';
import type { Problem } from './parsed.ts';
import { readAmbient } from './toMatchInput.ts';

/** The air of the day, shown beside its inputs; it needs no engine and no map. SI. */
export interface DayAir {
  ambient: Ambient;
  /** Of the moist air at station pressure and ambient temperature. */
  densityKgPerM3: number;
  /** Of the moist air, J/(kg K). */
  gasConstant: number;
  /** Ambient and the heating on the way in; null while the heating cannot be read. */
  compressorInletTemperatureK: number | null;
}

export interface DayAirReading {
  /** null: see `problems`. */
  air: DayAir | null;
  problems: readonly Problem[];
  /** Doubts, such as a barometer value that cannot belong to the altitude. */
  notes: readonly Problem[];
}

/** Station pressure, density and humidity of a build's air. Never throws. */
export function dayAir(build: Build): DayAirReading {
  const reader = new InputReader(build);
  const ambient = readAmbient(build, reader);
  const gas = ambient && moistAir(ambient.vapourMoleFraction);
  const { problems, notes } = reader;
  if (ambient === null || gas === null) return { air: null, problems, notes };
  const heatingK = new InputReader(build).number('inletPath.heating');
  return {
    air: {
      ambient,
      densityKgPerM3: density(gas, ambient.pressurePa, ambient.temperatureK),
      gasConstant: gas.gasConstant,
      compressorInletTemperatureK: heatingK === null ? null : ambient.temperatureK + heatingK,
    },
    problems,
    notes,
  };
}

/** N / Nc = sqrt(R T01 / (Rref Tref)): from a map's corrected speed to the physical one of the day. null while T01 is not known. */
export function daySpeedFactor(air: DayAir, reference: ReferenceState): number | null {
  if (air.compressorInletTemperatureK === null) return null;
  return Math.sqrt(
    (air.gasConstant * air.compressorInletTemperatureK) / (DRY_AIR_GAS_CONSTANT * reference.temperatureK),
  );
}
