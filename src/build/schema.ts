import * as z from 'zod/mini';
import { emptyCard, emptyTurbineCard } from './candidateCard.ts';
import { defaultExhaust, defaultTurbineLimits } from './defaultExhaust.ts';
import { emptySheet, usualFitment } from './matchSheet.ts';
import { isTurbineSheet } from './sheetKind.ts';
import { defaultAltitudes, defaultCalibration, defaultSpread } from './studyDefaults.ts';
import { embeddedPictureSchema, tracedParts } from './tracingSchema.ts';

/*
 * The schemas of everything that is saved. document.ts and compressor/types.ts hold the same shapes as documented interfaces;
 * tests/build/schemaTypes.test.ts holds the two together. zod/mini because the whole program must stay under 250 kB.
 */

// Without this zod probes `new Function`, which a strict content security policy reports as an error in the console.
z.config({ jitless: true });

const list = <T extends z.core.SomeType>(item: T) => z.readonly(z.array(item));

const positive = z.number().check(z.positive());
const notNegative = z.number().check(z.nonnegative());
/** Efficiencies stand in files as a share: 0.74, never 74. */
const share = z.number().check(z.gt(0), z.lte(1));

export const flowUnitSchema = z.enum(['kg/s', 'lb/min', 'm3/s', 'cfm']);
const flowParameterSchema = z.enum(['kPa', 'bar', 'MPa']);
const fuelSchema = z.enum(['petrol', 'e10', 'e85', 'ethanol', 'methanol', 'diesel', 'natural-gas']);
const goalKindSchema = z.enum(['gauge-boost', 'manifold-pressure', 'brake-power', 'wheel-power']);

export const typedSchema = z.object({ text: z.string(), unit: z.string() });
export const typedCurveSchema = z.object({
  unit: z.string(),
  rows: list(z.object({ engineSpeed: z.string(), value: z.string() })),
});

const sheetPlace = { flow: notNegative, pressureRatio: positive };

export const mapSheetSchema = z.object({
  format: z.literal('lugline-map'),
  version: z.literal(1),
  name: z.string(),
  source: z.string(),
  reference: z.object({ temperatureK: positive, pressurePa: positive }),
  flowUnit: flowUnitSchema,
  speedLines: list(
    z.object({
      speedRpm: positive,
      points: list(z.object({ ...sheetPlace, efficiency: z.optional(share) })),
    }),
  ),
  surgeLine: z.optional(list(z.object(sheetPlace))),
  islands: z.optional(list(z.object({ efficiency: share, closed: z.boolean(), points: list(z.object(sheetPlace)) }))),
  limits: z.optional(z.object({ shaftSpeedRpm: z.optional(positive) })),
  wheel: z.optional(z.object({ inducerMm: z.optional(positive), exducerMm: z.optional(positive) })),
  invented: z.optional(z.boolean()),
});

/** The numbers of a turbine sheet as its file holds them; `pressureRatio` is the expansion ratio. */
export const turbineFileSheetSchema = z.object({
  format: z.literal('lugline-map'),
  version: z.literal(1),
  kind: z.literal('turbine'),
  name: z.string(),
  source: z.string(),
  /** Corrected flow: unit and reference state. */
  flowUnit: z.optional(z.enum(['kg/s', 'lb/min'])),
  reference: z.optional(z.object({ temperatureK: positive, pressurePa: positive })),
  /** W sqrt(T03)/p03 in kg sqrt(K) per second and this unit, in place of the two above. */
  flowParameter: z.optional(flowParameterSchema),
  speedLines: list(
    z.object({
      speedRpm: z.optional(positive),
      points: list(z.object({ ...sheetPlace, efficiency: z.optional(share) })),
    }),
  ),
  invented: z.optional(z.boolean()),
});

const cell2 = { flow: z.string(), pressureRatio: z.string() };

const draftTables = {
  kind: z.optional(z.literal('turbine')),
  flowParameter: z.optional(flowParameterSchema),
  name: z.string(),
  source: z.string(),
  invented: z.optional(z.boolean()),
  reference: z.object({ temperature: typedSchema, pressure: typedSchema }),
  flowUnit: flowUnitSchema,
  efficiencyUnit: z.enum(['1', '%']),
  speedLines: list(z.object({ speed: z.string(), points: list(z.object({ ...cell2, efficiency: z.string() })) })),
  surgeLine: list(z.object(cell2)),
  islands: list(z.object({ efficiency: z.string(), closed: z.boolean(), points: list(z.object(cell2)) })),
  limits: z.object({ shaftSpeed: typedSchema }),
  wheel: z.object({ inducer: typedSchema, exducer: typedSchema }),
  ...tracedParts,
};

export const mapDraftSchema = z.object({ id: z.string().check(z.minLength(1)), ...draftTables });
/** The text tables that a map file carries beside its numbers. */
export const enteredTablesSchema = z.object(draftTables);

const besideNumbers = {
  id: z.optional(z.string()),
  entered: z.optional(enteredTablesSchema),
  /** The picture of the sheet, where it is kept with the map. */
  picture: z.optional(embeddedPictureSchema),
};

export const compressorFileSchema = z.extend(mapSheetSchema, {
  kind: z.optional(z.literal('compressor')),
  ...besideNumbers,
});
export const turbineFileSchema = z.extend(turbineFileSheetSchema, besideNumbers);

/** Where a compressor map belongs, a turbine sheet is refused, and the other way round. */
const compressorDraftSchema = mapDraftSchema.check(
  z.refine((draft) => !isTurbineSheet(draft), {
    error: 'This is a turbine sheet; a compressor map must stand here.',
    path: ['kind'],
  }),
);
const turbineDraftSchema = mapDraftSchema.check(
  z.refine((draft) => isTurbineSheet(draft), {
    error: 'This is a compressor map; a turbine sheet must stand here ("kind": "turbine").',
    path: ['kind'],
  }),
);

const wheelCardSchema = z.object({
  inducer: typedSchema,
  exducer: typedSchema,
  tipHeight: typedSchema,
  fullBlades: typedSchema,
  splitterBlades: typedSchema,
});

const turbineCardSchema = z.object({
  source: z.enum(['none', 'sheet', 'measured']),
  entries: z.enum(['all', 'one']),
  efficiency: z.object({
    kind: z.enum(['sheet', 'number', 'speed-ratio']),
    value: typedSchema,
    best: typedSchema,
    optimum: typedSchema,
  }),
  includesBearing: z.boolean(),
  mechanicalEfficiency: typedSchema,
});

// Files from before the candidate card have none of its parts.
const candidateSchema = z.object({
  id: z.string(),
  name: z.string(),
  map: z.nullable(compressorDraftSchema),
  shaftSpeedLimit: typedSchema,
  assumedEfficiency: typedSchema,
  donor: z._default(z.nullable(compressorDraftSchema), null),
  wheels: z._default(
    z.object({ caliperUncertainty: typedSchema, compressor: wheelCardSchema, turbine: wheelCardSchema }),
    () => emptyCard().wheels,
  ),
  housing: z._default(
    z.object({
      compressorAreaRadius: typedSchema,
      turbineAreaRadius: typedSchema,
      scroll: z.enum(['unknown', 'single', 'twin']),
      bearing: z.enum(['unknown', 'journal', 'ball']),
      gate: z.enum(['unknown', 'internal', 'external', 'variable-vanes', 'none']),
    }),
    () => emptyCard().housing,
  ),
  claim: z._default(z.object({ kind: z.enum(['none', 'flow', 'power']), gain: typedSchema }), () => emptyCard().claim),
  turbine: z._default(turbineCardSchema, emptyTurbineCard),
  turbineSheet: z._default(z.nullable(turbineDraftSchema), null),
  notes: z._default(z.string(), ''),
});

const matchSheetSchema = z.object({
  shopName: z.string(),
  car: z.string(),
  customerReference: z.string(),
  dateText: z.string(),
  preparedBy: z.string(),
  remarks: z.string(),
  paper: z.enum(['a4', 'letter']),
  candidates: z.enum(['one', 'both']),
});

const filedSheetSchema = z.object({
  programVersion: z.string(),
  dateText: z.string(),
  inputs: z.string(),
  figures: list(
    z.object({
      candidateId: z.string(),
      engineSpeedRpm: z.number(),
      key: z.string(),
      value: z.nullable(z.number()),
    }),
  ),
});

const fitmentSchema = z.object({ id: z.string(), part: z.string(), detail: z.string() });

const barometerSchema = z.object({
  kind: z.enum(['standard', 'read-on-site', 'weather-report']),
  pressure: typedSchema,
});

const savedPlaceSchema = z.object({
  id: z.string().check(z.minLength(1)),
  name: z.string(),
  altitude: typedSchema,
  barometer: barometerSchema,
  temperature: typedSchema,
  relativeHumidity: typedSchema,
});

const usual = defaultSpread.tolerances;
// No record over an enum: that refuses a file from before the turbine, which lacks the last four.
const tolerancesSchema = z.readonly(
  z.object({
    volumetricEfficiency: typedSchema,
    bsfc: typedSchema,
    lambda: typedSchema,
    mapFlow: typedSchema,
    mapPressureRatio: typedSchema,
    mapEfficiency: typedSchema,
    coolerEffectiveness: typedSchema,
    airTemperature: typedSchema,
    ambientPressure: typedSchema,
    inletLoss: typedSchema,
    chargeLoss: typedSchema,
    turbineCapacity: z._default(typedSchema, usual.turbineCapacity),
    turbineEfficiency: z._default(typedSchema, usual.turbineEfficiency),
    turbineInletTemperature: z._default(typedSchema, usual.turbineInletTemperature),
    exhaustLoss: z._default(typedSchema, usual.exhaustLoss),
  }),
);

const buildParts = {
  id: z.string().check(z.minLength(1)),
  name: z.string(),
  notes: z.string(),
  invented: z.optional(z.boolean()),
  engine: z.object({
    displacement: typedSchema,
    cylinders: typedSchema,
    strokesPerCycle: z.union([z.literal(2), z.literal(4)]),
    compressionRatio: typedSchema,
    injection: z.enum(['port', 'direct']),
    fuel: fuelSchema,
    volumetricEfficiency: typedCurveSchema,
    lambda: typedCurveSchema,
    bsfc: typedCurveSchema,
    drivelineLoss: typedSchema,
  }),
  fuelSupply: z.object({
    checked: z.boolean(),
    injectorCount: typedSchema,
    injectorFlow: typedSchema,
    injectorRatedPressure: typedSchema,
    railPressure: typedSchema,
    railReference: z.enum(['manifold', 'ambient']),
    dutyLimit: typedSchema,
    pumpFlow: typedSchema,
  }),
  air: z.object({
    altitude: typedSchema,
    barometer: barometerSchema,
    temperature: typedSchema,
    relativeHumidity: typedSchema,
  }),
  inletPath: z.object({ loss: typedSchema, atFlow: typedSchema, atDensity: typedSchema, heating: typedSchema }),
  chargePath: z.object({
    loss: typedSchema,
    atFlow: typedSchema,
    atDensity: typedSchema,
    cooler: z.object({
      kind: z.enum(['none', 'air', 'water']),
      effectiveness: typedSchema,
      falling: z.boolean(),
      atLowFlow: typedSchema,
      atHighFlow: typedSchema,
      effectivenessAtHighFlow: typedSchema,
      recovery: typedSchema,
      waterTemperature: typedSchema,
    }),
  }),
  // Files from before the turbine have none of it.
  exhaust: z._default(
    z.object({
      loss: typedSchema,
      atFlow: typedSchema,
      atDensity: typedSchema,
      inletTemperature: z.object({ kind: z.enum(['estimated', 'entered']), curve: typedCurveSchema }),
      measuredBackPressureRatio: typedSchema,
    }),
    defaultExhaust,
  ),
  goal: z.object({ kind: goalKindSchema, curves: z.readonly(z.record(goalKindSchema, typedCurveSchema)) }),
  engineSpeeds: z.object({ from: typedSchema, to: typedSchema, step: typedSchema }),
  limits: z.object({
    shaftSpeedReserve: typedSchema,
    surgeMargin: typedSchema,
    chokeMargin: typedSchema,
    compressorOutletTemperature: typedSchema,
    manifoldPressure: typedSchema,
    brakePower: typedSchema,
    backPressureRatio: z._default(typedSchema, defaultTurbineLimits.backPressureRatio),
    turbineInletTemperature: z._default(typedSchema, defaultTurbineLimits.turbineInletTemperature),
    stayBelowTopLine: z._default(z.boolean(), true),
  }),
  // Files from before the studies over altitude have none of these.
  altitudes: z._default(
    z.object({
      from: typedSchema,
      to: typedSchema,
      step: typedSchema,
      temperature: z.enum(['day', 'standard', 'same']),
      shown: z.enum(['grid', 'places', 'both']),
    }),
    defaultAltitudes,
  ),
  places: z._default(list(savedPlaceSchema), []),
  calibration: z._default(
    z.object({ pressureKind: z.enum(['gauge', 'absolute']), step: typedSchema, bladesPastSensor: typedSchema }),
    defaultCalibration,
  ),
  spread: z._default(
    z.object({
      tolerances: tolerancesSchema,
      samples: typedSchema,
      seed: typedSchema,
    }),
    defaultSpread,
  ),
  candidates: list(candidateSchema),
  // Files from before the match sheet have neither.
  sheet: z._default(matchSheetSchema, emptySheet),
  fitment: z._default(list(fitmentSchema), usualFitment),
  filed: z.optional(filedSheetSchema),
};

export const buildSchema = z.object(buildParts);
export const buildFileSchema = z.object({
  format: z.literal('lugline-build'),
  version: z.literal(1),
  ...buildParts,
});

export const settingsSchema = z.object({
  flowAxisUnit: flowUnitSchema,
  speedLabels: z.enum(['physical', 'corrected']),
  theme: z.enum(['system', 'light', 'dark']),
  shownCandidate: z.number().check(z.int(), z.nonnegative()),
  comparedCandidate: z.optional(z.number().check(z.int(), z.nonnegative())),
  otherAltitudes: z.optional(z.boolean()),
  resultUnits: z.optional(
    z.readonly(z.partialRecord(z.enum(['pressure', 'mass-flow', 'temperature', 'power', 'torque']), z.string())),
  ),
});
