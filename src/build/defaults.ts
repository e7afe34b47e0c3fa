import { emptyCard } from './candidateCard.ts';
import { defaultExhaust, defaultTurbineLimits } from './defaultExhaust.ts';
import type { Build, Candidate, MapDraft, Settings, Typed, TypedCurve, Workspace } from './document.ts';
import { mapsOf } from './mapsOf.ts';
import { emptySheet, usualFitment } from './matchSheet.ts';
import { defaultAltitudes, defaultCalibration, defaultSpread } from './studyDefaults.ts';

const typed = (text: string, unit: string): Typed => ({ text, unit });

const curve = (unit: string, ...rows: readonly (readonly [string, string])[]): TypedCurve => ({
  unit,
  rows: rows.map(([engineSpeed, value]) => ({ engineSpeed, value })),
});

/**
 * A new build: a turbocharged 2.0 L four with direct injection on petrol, at sea level on a standard day with some humidity. The
 * engine figures are middling values of common practice (no source), a start to be replaced by the car's own.
 */
export function defaultBuild(id: string, name = 'New build'): Build {
  return {
    id,
    name,
    notes: '',
    engine: defaultEngine(),
    fuelSupply: {
      checked: false,
      injectorCount: typed('4', '1'),
      injectorFlow: typed('', 'cc/min'),
      injectorRatedPressure: typed('', 'bar'),
      railPressure: typed('', 'bar'),
      railReference: 'manifold',
      dutyLimit: typed('85', '%'),
      pumpFlow: typed('', 'L/h'),
    },
    air: {
      altitude: typed('0', 'm'),
      barometer: { kind: 'standard', pressure: typed('1013.25', 'hPa') },
      temperature: typed('20', 'degC'),
      relativeHumidity: typed('50', '%'),
    },
    inletPath: {
      loss: typed('2.5', 'kPa'),
      atFlow: typed('0.20', 'kg/s'),
      atDensity: typed('1.20', 'kg/m3'),
      heating: typed('5', 'K'),
    },
    chargePath: defaultChargePath(),
    exhaust: defaultExhaust,
    goal: {
      kind: 'gauge-boost',
      curves: {
        'gauge-boost': curve('bar', ['2000', '0.5'], ['3000', '1.0'], ['6500', '1.0']),
        'manifold-pressure': curve('kPa', ['2000', '150'], ['3000', '200'], ['6500', '200']),
        'brake-power': curve('kW', ['2000', '60'], ['4000', '140'], ['6500', '200']),
        'wheel-power': curve('kW', ['2000', '50'], ['4000', '120'], ['6500', '170']),
      },
    },
    engineSpeeds: { from: typed('2000', 'rpm'), to: typed('6500', 'rpm'), step: typed('250', 'rpm') },
    limits: {
      shaftSpeedReserve: typed('3', '%'),
      surgeMargin: typed('10', '%'),
      chokeMargin: typed('5', '%'),
      compressorOutletTemperature: typed('', 'degC'),
      manifoldPressure: typed('', 'kPa'),
      brakePower: typed('', 'kW'),
      ...defaultTurbineLimits,
      stayBelowTopLine: true,
    },
    altitudes: defaultAltitudes,
    places: [],
    calibration: defaultCalibration,
    spread: defaultSpread,
    candidates: [defaultCandidate(`${id}-a`, 'Candidate A'), defaultCandidate(`${id}-b`, 'Candidate B')],
    sheet: emptySheet(),
    fitment: usualFitment(),
  };
}

function defaultEngine(): Build['engine'] {
  return {
    displacement: typed('2.0', 'L'),
    cylinders: typed('4', '1'),
    strokesPerCycle: 4,
    compressionRatio: typed('9.8', '1'),
    injection: 'direct',
    fuel: 'petrol',
    volumetricEfficiency: curve('%', ['2000', '90'], ['3500', '97'], ['5000', '98'], ['6500', '90']),
    lambda: curve('1', ['2000', '0.90'], ['6500', '0.82']),
    bsfc: curve('g/kWh', ['2000', '290'], ['4000', '300'], ['6500', '335']),
    drivelineLoss: typed('15', '%'),
  };
}

function defaultChargePath(): Build['chargePath'] {
  return {
    loss: typed('8', 'kPa'),
    atFlow: typed('0.20', 'kg/s'),
    atDensity: typed('2.0', 'kg/m3'),
    cooler: {
      kind: 'air',
      effectiveness: typed('75', '%'),
      falling: false,
      atLowFlow: typed('0.10', 'kg/s'),
      atHighFlow: typed('0.25', 'kg/s'),
      effectivenessAtHighFlow: typed('68', '%'),
      recovery: typed('5', 'K'),
      waterTemperature: typed('45', 'degC'),
    },
  };
}

/** A candidate without a map yet. */
export function defaultCandidate(id: string, name: string): Candidate {
  return {
    id,
    name,
    map: null,
    shaftSpeedLimit: typed('', 'rpm'),
    assumedEfficiency: typed('70', '%'),
    donor: null,
    turbineSheet: null,
    ...emptyCard(),
  };
}

/** Empty tables. The reference state is left open on purpose: it must be read off the sheet, not guessed. */
export function emptyMap(id: string, name = 'New map'): MapDraft {
  return {
    id,
    name,
    source: '',
    reference: { temperature: typed('', 'K'), pressure: typed('', 'kPa') },
    flowUnit: 'kg/s',
    efficiencyUnit: '%',
    speedLines: [{ speed: '', points: [{ flow: '', pressureRatio: '', efficiency: '' }] }],
    surgeLine: [],
    islands: [],
    limits: { shaftSpeed: typed('', 'rpm') },
    wheel: { inducer: typed('', 'mm'), exducer: typed('', 'mm') },
  };
}

/** Empty tables of a turbine sheet; the reference state is left open as that of a map is. */
export function emptyTurbineSheet(id: string, name = 'New turbine sheet'): MapDraft {
  return { ...emptyMap(id, name), kind: 'turbine' };
}

export const defaultSettings: Settings = {
  flowAxisUnit: 'kg/s',
  speedLabels: 'physical',
  theme: 'system',
  shownCandidate: 0,
};

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
