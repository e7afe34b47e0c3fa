import type { FlowUnit } from '../compressor/types.ts';
import type { FuelKey } from '../engine/types.ts';
import type { GoalKind, ToleranceKey } from '../match/types.ts';
import type { CandidateCard } from './candidateCard.ts';
import type { FiledSheet, FitmentItem, MatchSheet } from './matchSheet.ts';
import type { TracedParts } from './tracing.ts';

/**
 * The saved document. Numbers are kept as the text that was typed, with the unit that was chosen; conversion to SI happens in
 * toMatchInput and nowhere else. Results are never stored.
 */
export interface Typed {
  /** Exactly what was typed, readable as a number ('20,5', '1.8e5', '0.30'). */
  text: string;
  /** Unit key of src/units. */
  unit: string;
}

/** A curve over engine speed as a small table. One row is a constant. */
export interface TypedCurve {
  /** Unit of the values. */
  unit: string;
  /** engineSpeed in rpm. */
  rows: readonly { engineSpeed: string; value: string }[];
}

export type BarometerKind = 'standard' | 'read-on-site' | 'weather-report';

export interface Build {
  id: string;
  name: string;
  /** Customer, plate, job number, whatever the shop writes. */
  notes: string;
  /** True for the demonstration build. */
  invented?: boolean | undefined;
  engine: {
    displacement: Typed;
    cylinders: Typed;
    strokesPerCycle: 2 | 4;
    compressionRatio: Typed;
    injection: 'port' | 'direct';
    fuel: FuelKey;
    volumetricEfficiency: TypedCurve;
    lambda: TypedCurve;
    bsfc: TypedCurve;
    drivelineLoss: Typed;
  };
  fuelSupply: {
    checked: boolean;
    injectorCount: Typed;
    injectorFlow: Typed;
    injectorRatedPressure: Typed;
    railPressure: Typed;
    railReference: 'manifold' | 'ambient';
    dutyLimit: Typed;
    /** Empty text: not checked. */
    pumpFlow: Typed;
  };
  air: {
    altitude: Typed;
    barometer: { kind: BarometerKind; pressure: Typed };
    temperature: Typed;
    relativeHumidity: Typed;
  };
  inletPath: { loss: Typed; atFlow: Typed; atDensity: Typed; heating: Typed };
  chargePath: {
    loss: Typed;
    atFlow: Typed;
    atDensity: Typed;
    cooler: {
      kind: 'none' | 'air' | 'water';
      effectiveness: Typed;
      /** Second point of a falling effectiveness; used when `falling` is true. */
      falling: boolean;
      atLowFlow: Typed;
      atHighFlow: Typed;
      effectivenessAtHighFlow: Typed;
      /** Air cooler: how much warmer than ambient the air is that reaches it. */
      recovery: Typed;
      waterTemperature: Typed;
    };
  };
  goal: { kind: GoalKind; curves: Readonly<Record<GoalKind, TypedCurve>> };
  engineSpeeds: { from: Typed; to: Typed; step: Typed };
  limits: {
    shaftSpeedReserve: Typed;
    surgeMargin: Typed;
    chokeMargin: Typed;
    /** Empty text: no limit. */
    compressorOutletTemperature: Typed;
    manifoldPressure: Typed;
    brakePower: Typed;
    /** Studies over altitude keep off what is extended above the top speed line. */
    stayBelowTopLine: boolean;
  };
  /** The even grid of altitudes that is studied, and how its air is made from that of the day. */
  altitudes: {
    from: Typed;
    to: Typed;
    step: Typed;
    /** 'day': standard temperature plus the day's deviation from it. 'standard'. 'same': the day's temperature at every altitude. */
    temperature: 'day' | 'standard' | 'same';
    shown: 'grid' | 'places' | 'both';
  };
  /** Places of their own weather, studied like the altitudes of the grid. */
  places: readonly SavedPlace[];
  /** How the tuner's table is written. */
  calibration: {
    pressureKind: 'gauge' | 'absolute';
    /** Pressures are rounded down to whole steps; its unit is the table's. */
    step: Typed;
    bladesPastSensor: Typed;
  };
  spread: {
    /** Half widths: 19 of 20 values lie within. */
    tolerances: Readonly<Record<ToleranceKey, Typed>>;
    samples: Typed;
    seed: Typed;
  };
  candidates: readonly Candidate[];
  /** What stands on the printed match sheet beside the numbers. */
  sheet: MatchSheet;
  fitment: readonly FitmentItem[];
  /** The sheet as it was last filed; the one place where numbers are kept, and only to be compared with. */
  filed?: FiledSheet | undefined;
}

export interface SavedPlace {
  id: string;
  name: string;
  altitude: Typed;
  barometer: { kind: BarometerKind; pressure: Typed };
  temperature: Typed;
  relativeHumidity: Typed;
}

export interface Candidate extends CandidateCard {
  id: string;
  name: string;
  /** The shelf map with the same id is the same object; editing the shelf map edits every candidate that carries it. null: not chosen yet. */
  map: MapDraft | null;
  /** The maker's maximum shaft speed for this turbo; empty text: the map's own. */
  shaftSpeedLimit: Typed;
  assumedEfficiency: Typed;
  /** The map that is scaled to the measured wheel while the candidate has no map of its own; shared with the shelf as `map` is. */
  donor: MapDraft | null;
}

/** A map as it stands in the tables of the Maps view: text cells, complete or not. */
export interface MapDraft extends TracedParts {
  id: string;
  name: string;
  source: string;
  invented?: boolean | undefined;
  reference: { temperature: Typed; pressure: Typed };
  flowUnit: FlowUnit;
  /** How efficiencies are typed: '1' for 0.74, '%' for 74. */
  efficiencyUnit: '1' | '%';
  speedLines: readonly DraftLine[];
  surgeLine: readonly DraftCell2[];
  islands: readonly { efficiency: string; closed: boolean; points: readonly DraftCell2[] }[];
  limits: { shaftSpeed: Typed };
  wheel: { inducer: Typed; exducer: Typed };
}

export interface DraftLine {
  speed: string;
  points: readonly DraftCell3[];
}
export interface DraftCell2 {
  flow: string;
  pressureRatio: string;
}
export interface DraftCell3 extends DraftCell2 {
  efficiency: string;
}

/** Everything on this machine that undo covers and storage keeps. Immutable: every command returns a new one that shares what did not change. */
export interface Workspace {
  builds: Readonly<Record<string, Build>>;
  buildOrder: readonly string[];
  activeBuildId: string;
  shelf: Readonly<Record<string, MapDraft>>;
  shelfOrder: readonly string[];
  settings: Settings;
}

/** Results whose unit the user chooses once for findings, table and read-out alike. */
export type ResultQuantity = 'pressure' | 'mass-flow' | 'temperature' | 'power' | 'torque';

export interface Settings {
  flowAxisUnit: FlowUnit;
  speedLabels: 'physical' | 'corrected';
  theme: 'system' | 'light' | 'dark';
  /** Which candidate index the Match view shows. */
  shownCandidate: number;
  /** The candidate index that it is compared with; left out: the next one. */
  comparedCandidate?: number | undefined;
  /** The map of the Match view shows the operating lines of other altitudes as well. */
  otherAltitudes?: boolean | undefined;
  /** Units in which results are shown (unit keys of src/units); a quantity left out is shown in its usual unit. */
  resultUnits?: Readonly<Partial<Record<ResultQuantity, string>>> | undefined;
}
