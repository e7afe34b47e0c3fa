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
  /** What the turbine hangs in; used where a candidate has turbine data. */
  exhaust: {
    /** Of the exhaust system behind the turbine, measured at a flow and with the density that the gas had there. */
    loss: Typed;
    atFlow: Typed;
    atDensity: Typed;
    /** 'estimated': by the engine's energy balance. 'entered': the curve. */
    inletTemperature: { kind: 'estimated' | 'entered'; curve: TypedCurve };
    /** p3/p_m at which the volumetric efficiency was measured. */
    measuredBackPressureRatio: Typed;
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
    /** Highest p3/p_m. */
    backPressureRatio: Typed;
    turbineInletTemperature: Typed;
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
  /**
   * The shelf map with the same id is the same object; editing the shelf map edits every candidate that carries it. null: not chosen yet.
   */
  map: MapDraft | null;
  /** The maker's maximum shaft speed for this turbo; empty text: the map's own. */
  shaftSpeedLimit: Typed;
  assumedEfficiency: Typed;
  /** The map that is scaled to the measured wheel while the candidate has no map of its own; shared with the shelf as `map` is. */
  donor: MapDraft | null;
  /** A draft of kind 'turbine', shared with the shelf as `map` is; used while `turbine.source` is 'sheet'. null: not chosen yet. */
  turbineSheet: MapDraft | null;
}

/**
 * A map as it stands in the tables of the Maps view: text cells, complete or not. A turbine sheet uses the same tables: `pressureRatio`
 * holds the expansion ratio, the speed of a line is the turbine's corrected speed and may stay empty, and there are no surge line,
 * islands, limits and wheel.
 */
export interface MapDraft extends TracedParts {
  id: string;
  /** Left out: a compressor map. */
  kind?: 'turbine' | undefined;
  /**
   * Of a turbine sheet whose flows are W sqrt(T03)/p03 in kg sqrt(K) per second and this unit of pressure: it needs no reference state,
   * and speeds are rpm per sqrt(K). Left out: corrected flow in `flowUnit`, of which a turbine takes kg/s and lb/min.
   */
  flowParameter?: FlowParameterUnit | undefined;
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

/** Unit of pressure in the flow parameter of a turbine sheet. */
export type FlowParameterUnit = 'kPa' | 'bar' | 'MPa';

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

/**
 * Everything on this machine that undo covers and storage keeps. Immutable: every command returns a new one that shares what did not
 * change.
 */
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
