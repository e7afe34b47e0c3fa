import type { UnitSystem } from '../units/index.ts';
import { buildFields } from './buildFields.ts';
import {
  type Build,
  type Candidate,
  type CandidateCard,
  type FitmentItem,
  type MapDraft,
  mapsOf,
  type Settings,
  type Workspace,
} from './document.ts';
import { startOf } from './field.ts';
import { candidateFields, mapFields } from './fields.ts';

/** A new build with the start values of the table of inputs and two candidates without a map. */
export function defaultBuild(id: string, name = 'New build', system: UnitSystem = 'metric'): Build {
  // In the order in which files have it.
  const { calibration, spread, sheet, ...entered } = startOf(buildFields, system);
  const candidates = ['A', 'B'].map((letter) =>
    defaultCandidate(`${id}-${letter.toLowerCase()}`, `Candidate ${letter}`, system),
  );
  const build = { id, name, ...entered, places: [], calibration, spread, candidates, sheet, fitment: usualFitment() };
  return system === 'metric' ? build : { ...build, units: unitsOfSystem(system) };
}

/** A candidate without a map yet. */
export function defaultCandidate(id: string, name: string, system: UnitSystem = 'metric'): Candidate {
  const { turboCount, shaftSpeedLimit, assumedEfficiency } = startOf(candidateFields, system);
  const entered = {
    turboCount,
    shaftSpeedLimit,
    assumedEfficiency,
    donor: null,
    turbineSheet: null,
    ...emptyCard(system),
  };
  return { id, name, map: null, ...entered };
}

/** The card of a turbo of which nothing is measured yet. */
export function emptyCard(system: UnitSystem = 'metric'): CandidateCard {
  const { wheels, housing, claim, turbine, wastegate, rotor, notes } = startOf(candidateFields, system);
  return { wheels, housing, claim, turbine, wastegate, rotor, notes };
}

/** What a change of turbo usually needs (common practice, no source); a shop adds and removes. */
const USUAL_PARTS = [
  'Gaskets: turbine inlet, turbine outlet, compressor outlet',
  'Studs and nuts',
  'Oil feed line, its restrictor and seals',
  'Oil drain line and gasket',
  'Coolant lines and seals',
  'Inlet coupling and clamps',
  'Charge coupling and clamps',
  'Gate actuator connector and hose',
  'Heat shield',
  'Priming oil and new oil filter',
];

export function usualFitment(): FitmentItem[] {
  return USUAL_PARTS.map((part, i) => ({ id: `usual-${i + 1}`, part, detail: '' }));
}

/** Empty tables. The reference state is left open on purpose: it must be read off the sheet, not guessed. */
export function emptyMap(id: string, name = 'New map', system: UnitSystem = 'metric'): MapDraft {
  const { reference, limits, wheel } = startOf(mapFields, system);
  return {
    id,
    name,
    source: '',
    reference,
    flowUnit: unitsOfSystem(system).flowAxisUnit,
    efficiencyUnit: '%',
    speedLines: [{ speed: '', points: [{ flow: '', pressureRatio: '', efficiency: '' }] }],
    surgeLine: [],
    islands: [],
    limits,
    wheel,
  };
}

/** Empty tables of a turbine sheet; the reference state is left open as that of a map is. */
export function emptyTurbineSheet(id: string, name = 'New turbine sheet', system?: UnitSystem): MapDraft {
  return { ...emptyMap(id, name, system), kind: 'turbine' };
}

export const defaultSettings: Settings = {
  flowAxisUnit: 'kg/s',
  speedLabels: 'physical',
  theme: 'system',
  shownCandidate: 0,
};

/** Units in which a build of that system is shown while nobody chose another for a kind of figure. */
export function unitsOfSystem(system: UnitSystem): NonNullable<Build['units']> {
  return { system, flowAxisUnit: system === 'us' ? 'lb/min' : 'kg/s', resultUnits: {} };
}

/** A workspace that holds these builds and the maps that their candidates carry. At least one build. */
export function workspaceOf(builds: readonly [Build, ...Build[]], settings: Settings = defaultSettings): Workspace {
  const maps = new Map<string, MapDraft>();
  for (const { candidates } of builds) for (const map of candidates.flatMap(mapsOf)) maps.set(map.id, map);
  return {
    builds: Object.fromEntries(builds.map((build) => [build.id, build])),
    buildOrder: builds.map((build) => build.id),
    activeBuildId: builds[0].id,
    shelf: Object.fromEntries(maps),
    shelfOrder: [...maps.keys()],
    settings,
  };
}
