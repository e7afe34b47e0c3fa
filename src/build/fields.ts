import { buildFields, placeFields } from './buildFields.ts';
import {
  type At,
  added,
  type CurveField,
  choice,
  type Field,
  type Fields,
  type GroupsOf,
  isField,
  onOff,
  optional,
  type PathsOf,
  type PathsOfKind,
  text,
  type ValueOf,
  valueAt,
} from './field.ts';

/** From the smallest wheels on the road to those of ships' engines. */
const DIAMETERS = [0.008, 0.6] as const;
const TIP_HEIGHTS = [0.0005, 0.1] as const;
const AREA_RADII = [0.0005, 0.2] as const;
const BLADES = [0, 60] as const;
/** What stands on a map sheet is checked by the audit of the sheet. */
const ANY = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY] as const;

const wheel = (of: 'compressor' | 'turbine') => {
  const label = (part: string) => `${of === 'compressor' ? 'Compressor' : 'Turbine'} ${part}`;
  return {
    /** Tip diameter at the inlet: the compressor's smaller diameter, the turbine's larger one. */
    inducer: optional('wheel-length', DIAMETERS, ['', 'mm'], label('inducer'), `${of} inducer diameter`),
    /** Tip diameter at the outlet. */
    exducer: optional('wheel-length', DIAMETERS, ['', 'mm'], label('exducer'), `${of} exducer diameter`),
    /** Height of the blades at the larger diameter. */
    tipHeight: optional('wheel-length', TIP_HEIGHTS, ['', 'mm'], label('tip height')),
    fullBlades: optional('count', BLADES, ['', '1'], label('full blades'), `number of full blades of the ${of}`),
    splitterBlades: optional('count', BLADES, ['', '1'], label('splitters'), `number of splitter blades of the ${of}`),
  };
};

/**
 * Fields of a candidate: what a person measures and reads on the bench, and what the maker claims. Empty: not measured. Figures of the
 * turbine are common practice, no source: small radial turbines on gas stands peak at 0.65 to 0.75 total to static, near U/C0 0.65 to
 * 0.70, and lose about 5 % of their power in a journal bearing at high speed. Calipers of the usual kind read to 0.05 mm (the same).
 */
export const candidateFields = {
  name: text('Name', 'candidate name'),
  turboCount: added(
    choice({ 1: 'One', 2: 'Two', 3: 'Three', 4: 'Four' }, 1, 'Turbos', {
      name: 'number of turbos',
      help: 'Equal ones in parallel. Turbos in series and sequential ones are not computed: how they share the work depends on valves that no map shows.',
    }),
  ),
  /** The maker's maximum shaft speed for this turbo; empty: the map's own. */
  shaftSpeedLimit: optional('rotational-speed', [1_000, 1_000_000], ['', 'rpm'], 'Shaft speed limit'),
  assumedEfficiency: optional('efficiency', [0.3, 0.9], ['70', '%'], 'Assumed efficiency', {
    help: 'The map has none. Temperatures and power follow from this number.',
  }),
  wheels: added({
    /** Half width of what the calipers may be off, for every length of the card. */
    caliperUncertainty: optional('wheel-length', [0, 0.002], ['0.05', 'mm'], 'Calipers read to ±', {
      name: 'caliper uncertainty',
      placeholder: '0.05',
      us: ['0.002', 'in'],
    }),
    compressor: wheel('compressor'),
    turbine: wheel('turbine'),
  }),
  /** Area over radius of the volutes as quoted or measured: a length. */
  housing: added({
    compressorAreaRadius: optional('wheel-length', AREA_RADII, ['', 'in'], 'Compressor A/R', 'compressor A/R'),
    turbineAreaRadius: optional('wheel-length', AREA_RADII, ['', 'in'], 'Turbine A/R', 'turbine A/R'),
    scroll: choice({ unknown: 'Not noted', single: 'Single', twin: 'Twin' }, 'unknown', 'Turbine scroll', 'scroll'),
    bearing: choice({ unknown: 'Not noted', journal: 'Journal', ball: 'Ball' }, 'unknown', 'Bearing'),
    gate: choice(
      {
        unknown: 'Not noted',
        internal: 'Internal',
        external: 'External',
        'variable-vanes': 'Variable vanes',
        none: 'None',
      },
      'unknown',
      'Gate',
    ),
  }),
  /** What the maker or seller says that this one gives more than the one it is compared with. */
  claim: added({
    kind: choice({ none: 'Nothing', flow: 'More air flow', power: 'More power' }, 'none', 'What is claimed', {
      name: 'kind of claim',
    }),
    gain: optional('fraction', [-0.9, 5], ['', '%'], 'Claimed gain'),
  }),
  /** How the turbine is known. */
  turbine: added({
    /** 'sheet': the candidate's turbine sheet. 'measured': estimated from the turbine wheel and the A/R of its housing. */
    source: choice(
      { none: 'Not known', sheet: 'From a turbine sheet', measured: 'Estimated from the measurements here' },
      'none',
      'Flow capacity',
      {
        name: 'turbine data',
        stacked: true,
        help: 'How much exhaust the turbine lets through at each expansion ratio (pressure before it over pressure behind it).',
      },
    ),
    /** Whether the flows of the sheet of a twin scroll are those of both entries together or of one. */
    entries: choice({ all: 'Both entries together', one: 'One entry' }, 'all', 'Flows on the sheet are of', {
      name: 'entries of the turbine sheet',
      stacked: true,
      help: 'Twin scroll: the flows of both entries are summed as steady flow.',
    }),
    efficiency: {
      /** 'sheet': off its points. 'number': `value` everywhere. 'speed-ratio': a parabola over U/C0 with its peak `best` at `optimum`. */
      kind: choice(
        { sheet: 'From the sheet', number: 'A number', 'speed-ratio': 'Parabola over U/C0' },
        'number',
        'Turbine efficiency',
        { name: 'kind of turbine efficiency', stacked: true },
      ),
      value: optional('efficiency', [0.1, 1], ['70', '%'], 'Efficiency', {
        name: 'turbine efficiency',
        placeholder: 'needed',
        help: 'Isentropic, total to static.',
      }),
      best: optional('efficiency', [0.1, 1], ['72', '%'], 'Best efficiency', {
        name: 'best turbine efficiency',
        placeholder: 'needed',
        help: 'Isentropic, total to static.',
      }),
      optimum: optional('dimensionless', [0.3, 1.2], ['0.68', '1'], '… at U/C0 of', {
        name: 'optimum of U/C0',
        placeholder: 'needed',
        help: 'Tip speed of the turbine inducer over the speed that the exhaust would reach by expanding alone. Radial turbines: 0.65 to 0.70.',
      }),
    },
    /** The efficiency holds the bearing's losses already, as that of many gas stands does. */
    includesBearing: onOff(false, "Efficiency holds the bearing's losses", {
      name: 'bearing losses in the turbine efficiency',
      help: 'Sheets from a gas stand often give it so: the losses must not count twice.',
    }),
    mechanicalEfficiency: optional('efficiency', [0.5, 1], ['95', '%'], 'Mechanical efficiency', {
      name: 'mechanical efficiency of the turbo',
      placeholder: 'needed',
      help: "Share of the turbine's power that the bearing leaves for the compressor.",
    }),
  }),
  /**
   * The open wastegate of one turbo. The flow coefficient of a hole behind a flap is common practice, no source; it is known to a fifth.
   * Fits of whole engines give effective areas of 314 and 491 mm2 (parameter files of Linkoping University, engines of 6.7 and 1.95 L).
   */
  wastegate: added({
    diameter: optional('wheel-length', [0.002, 0.2], ['', 'mm'], 'Wastegate opening', {
      name: 'diameter of the wastegate opening',
      placeholder: 'unknown',
      help: 'Diameter of the hole that the valve closes, of one turbo. Empty: the gate is taken to pass whatever it must.',
    }),
    flowCoefficient: optional('dimensionless', [0.1, 1], ['0.7', '1'], '… flow coefficient', {
      name: 'flow coefficient of the wastegate',
      placeholder: 'needed',
      help: 'Share of the ideal flow through the hole with the valve wide open: 0.6 to 0.8, known to a fifth.',
    }),
    area: optional('opening', [1e-6, 0.03], ['', 'mm2'], '… or effective area', {
      name: 'effective area of the wastegate',
      help: 'Flow coefficient times area, all valves of one turbo together. Where it is entered, it counts and the diameter does not.',
    }),
  }),
  /** The rotor of one turbo, for comparing how two spool up. */
  rotor: added({
    from: choice(
      {
        none: 'Not known',
        entered: 'A number',
        trifilar: 'Swung on three threads',
        diameters: 'Guessed from the wheels',
      },
      'none',
      'Inertia of the rotor',
      {
        name: 'kind of rotor inertia',
        stacked: true,
        help: 'Wheels, shaft and nut about their axis: how two turbos spool up is compared by it. A guess from the wheels is off by up to half.',
      },
    ),
    inertia: optional('inertia', [1e-8, 0.1], ['', 'kg mm2'], 'Inertia', {
      name: 'inertia of the rotor',
      placeholder: 'needed',
    }),
    mass: optional('mass', [0.005, 50], ['', 'g'], 'Mass of the rotor', { placeholder: 'needed' }),
    radius: optional('wheel-length', [0.002, 0.5], ['', 'mm'], 'Threads from the axis', {
      name: 'distance of the threads from the axis',
      placeholder: 'needed',
      help: 'The rotor hangs upright by three threads of equal length, evenly round its axis.',
    }),
    length: optional('wheel-length', [0.05, 5], ['', 'mm'], 'Length of the threads', { placeholder: 'needed' }),
    period: optional('time', [0.05, 60], ['', 's'], 'Time of one swing', {
      placeholder: 'needed',
      help: 'There and back, small swings: time twenty and divide.',
    }),
  }),
  notes: added(
    text('Notes on this candidate', {
      name: 'notes of the candidate',
      rows: 3,
      stacked: true,
      placeholder: 'Where it came from, its state, clearances',
    }),
  ),
};

/** Quantities that stand on a map sheet once; left open in new tables, for they must be read off the sheet, not guessed. */
export const mapFields = {
  reference: {
    temperature: optional('temperature', ANY, ['', 'K'], 'Temperature', { placeholder: '' }),
    pressure: optional('pressure-absolute', ANY, ['', 'kPa'], 'Pressure, absolute', { placeholder: '' }),
  },
  limits: { shaftSpeed: optional('rotational-speed', ANY, ['', 'rpm'], 'Maximum shaft speed', { placeholder: '' }) },
  wheel: {
    inducer: optional('wheel-length', ANY, ['', 'mm'], 'Inducer diameter', { placeholder: '' }),
    exducer: optional('wheel-length', ANY, ['', 'mm'], 'Exducer diameter', { placeholder: '' }),
  },
};

/** All inputs: those of the build, and under 'candidate', 'place' and 'map' those of one of several. */
export const fields = { ...buildFields, candidate: candidateFields, place: placeFields, map: mapFields };

export type BuildPath = PathsOf<typeof buildFields>;
export type CandidatePath = PathsOf<typeof candidateFields>;
/** 'air.altitude', 'candidate.wheels.compressor.inducer', 'place.altitude', 'map.wheel.exducer'. */
export type FieldPath = PathsOf<typeof fields>;
export type CurvePath = PathsOfKind<typeof buildFields, CurveField>;
/** Paths of all inputs of one kind. */
export type PathsOfField<Kind extends Field> = PathsOfKind<typeof fields, Kind>;

/** What the field at that path holds. */
export type FieldValue<P extends FieldPath> = ValueOf<At<typeof fields, P>>;

/** The description of the field at a path. */
export function fieldAt<P extends FieldPath>(path: P): At<typeof fields, P> & Field {
  return valueAt(fields, path) as At<typeof fields, P> & Field;
}

export type GroupPath = GroupsOf<typeof fields>;

/** Paths of the fields that stand in a group, in the order of the table; further groups are passed over. */
export function pathsIn<G extends GroupPath>(group: G) {
  const parts = Object.entries(valueAt(fields, group) as Fields);
  const keys = parts.filter(([, part]) => isField(part)).map(([key]) => key);
  return keys.map((key) => `${group}.${key}`) as Extract<
    BuildPath,
    `${G}.${keyof At<typeof buildFields, G> & string}`
  >[];
}
