import type { EstimateBand } from '../compressor/types.ts';
import type { CalibrationOptions, MatchInput, Tolerances } from '../match/types.ts';
import type { TurbineCapacity } from '../turbine/types.ts';
import type { Build } from './document.ts';
import { buildReader } from './fieldReader.ts';
import type { Problem } from './parsed.ts';

/** How the table is written, or null when a field cannot be read. */
export function calibrationOptions(build: Build): CalibrationOptions | null {
  const read = buildReader(build).group('calibration');
  return read && { kind: build.calibration.pressureKind, ...read };
}

interface SpreadSetup {
  tolerances: Tolerances;
  samples: number;
  seed: number;
}

/** Tolerances, samples and seed in SI; null when one of them cannot be read: see `problems`. */
export function spreadSetup(build: Build): { setup: SpreadSetup | null; problems: readonly Problem[] } {
  const reader = buildReader(build);
  const tolerances = Object.fromEntries(
    Object.keys(build.spread.tolerances).map((key) => [
      key,
      reader.number(`spread.tolerances.${key as keyof Tolerances}`) ?? 0,
    ]),
  ) as unknown as Tolerances;
  const samples = reader.number('spread.samples');
  const seed = reader.number('spread.seed');
  if (reader.problems.length > 0 || samples === null || seed === null)
    return { setup: null, problems: reader.problems };
  return { setup: { tolerances, samples: Math.round(samples), seed: Math.round(seed) }, problems: [] };
}

/**
 * Tolerances of the map where it is a scaled one: its band and the tolerance of reading the donor's sheet, which are independent of each
 * other, together (root of the sum of squares). All others stay.
 *
 * @param band half widths of the estimate; flow takes the wider of surge and choke
 */
export function estimateTolerances(tolerances: Tolerances, band: EstimateBand): Tolerances {
  return {
    ...tolerances,
    mapFlow: Math.hypot(tolerances.mapFlow, Math.max(band.surgeFlow, band.chokeFlow)),
    mapPressureRatio: Math.hypot(tolerances.mapPressureRatio, band.pressureRatio),
    mapEfficiency: Math.hypot(tolerances.mapEfficiency, band.efficiency),
  };
}

/**
 * Tolerances of the turbine where its capacity is an estimate: its band and the tolerance of the capacity together, as above. A sheet
 * has no band and changes nothing.
 */
export function turbineTolerances(tolerances: Tolerances, { band }: Pick<TurbineCapacity, 'band'>): Tolerances {
  return { ...tolerances, turbineCapacity: Math.hypot(tolerances.turbineCapacity, band) };
}

/** The tolerances that a spread of this input goes by: those entered, and on top what of map and turbine is an estimate. */
export function tolerancesOf(tolerances: Tolerances, { compressor, turbine }: MatchInput): Tolerances {
  const { estimate } = compressor;
  const ofMap = estimate === undefined ? tolerances : estimateTolerances(tolerances, estimate.band);
  return turbine === undefined ? ofMap : turbineTolerances(ofMap, turbine.capacity);
}

/** What two candidates' spool-up is asked for, SI; null: an entry cannot be read, and `problem` names it. Never throws. */
export function spoolSetup(build: Build): {
  setup: { engineSpeedRpm: number; fromBoostPa: number; chargeVolumeM3: number } | null;
  problem: string;
} {
  const reader = buildReader(build);
  const engineSpeedRpm = reader.number('spool.engineSpeed');
  const fromBoostPa = reader.number('spool.from');
  const chargeVolumeM3 = reader.number('spool.chargeVolume');
  if (engineSpeedRpm === null || fromBoostPa === null || chargeVolumeM3 === null)
    return { setup: null, problem: reader.problems[0]?.message ?? '' };
  return { setup: { engineSpeedRpm, fromBoostPa, chargeVolumeM3 }, problem: '' };
}
