import * as z from 'zod/mini';
import { POWER_CORRECTIONS } from '../engine/index.ts';
import type { UnitChoice } from '../match/index.ts';
import { CHANNEL_KEYS, UNIT_CHOICES } from '../match/index.ts';
import { type FlowParameterUnit, flowParameterPressures, sheetFlowKeys, sheetMassFlowKeys } from '../units/index.ts';
import { buildFields, placeFields } from './buildFields.ts';
import { usualFitment } from './defaults.ts';
import { ADDED, type Field, type Fields, isField, startOf, type ValueOf } from './field.ts';
import { candidateFields } from './fields.ts';
import { embeddedPictureSchema, list, tracedParts, typedSchema } from './tracing.ts';

/*
 * The schemas of everything that is saved; the types of document.ts follow from them. What is entered follows from the table of inputs
 * (fields.ts). A late part, with zod: only the types may be imported by what the page needs to open.
 */

// Without this zod probes `new Function`, which a strict content security policy reports as an error in the console.
z.config({ jitless: true });

const positive = z.number().check(z.positive());
const notNegative = z.number().check(z.nonnegative());
/** Efficiencies stand in files as a share: 0.74, never 74. */
const share = z.number().check(z.gt(0), z.lte(1));

const flowUnitSchema = z.enum(sheetFlowKeys);
const flowParameterSchema = z.enum(Object.keys(flowParameterPressures) as FlowParameterUnit[]);

const typedCurveSchema = z.object({
  unit: z.string(),
  rows: list(z.object({ engineSpeed: z.string(), value: z.string() })),
});

const sheetPlace = { flow: notNegative, pressureRatio: positive };

/** Longer is no name, and would have to be drawn on every screen. */
const nameText = z.string().check(z.maxLength(2_000));

export const mapSheetSchema = z.object({
  format: z.literal('lugline-map'),
  version: z.literal(1),
  name: nameText,
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
  name: nameText,
  source: z.string(),
  /** Corrected flow: unit and reference state. */
  flowUnit: z.optional(z.enum(sheetMassFlowKeys)),
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
const cell3 = { ...cell2, efficiency: z.string() };
const lineSchema = z.object({ speed: z.string(), points: list(z.object(cell3)) });

/*
 * A map as it stands in the tables of the Maps view: text cells, complete or not. A turbine sheet uses the same tables: `pressureRatio`
 * holds the expansion ratio, the speed of a line is the turbine's corrected speed and may stay empty, and there are no surge line,
 * islands, limits and wheel.
 */
const draftTables = {
  /** Left out: a compressor map. */
  kind: z.optional(z.literal('turbine')),
  /**
   * Of a turbine sheet whose flows are W sqrt(T03)/p03 in kg sqrt(K) per second and this unit of pressure: it needs no reference state,
   * and speeds are rpm per sqrt(K). Left out: corrected flow in `flowUnit`, of which a turbine takes kg/s and lb/min.
   */
  flowParameter: z.optional(flowParameterSchema),
  name: nameText,
  source: z.string(),
  invented: z.optional(z.boolean()),
  reference: z.object({ temperature: typedSchema, pressure: typedSchema }),
  flowUnit: flowUnitSchema,
  /** How efficiencies are typed: '1' for 0.74, '%' for 74. */
  efficiencyUnit: z.enum(['1', '%']),
  speedLines: list(lineSchema),
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
  z.refine((draft) => draft.kind !== 'turbine', {
    error: 'This is a turbine sheet; a compressor map must stand here.',
    path: ['kind'],
  }),
);
const turbineDraftSchema = mapDraftSchema.check(
  z.refine((draft) => draft.kind === 'turbine', {
    error: 'This is a compressor map; a turbine sheet must stand here ("kind": "turbine").',
    path: ['kind'],
  }),
);

/** The schema of an input or of a group of them; what was added later may be missing in a file. */
function schemaOf<F extends Field | Fields>(part: F): z.ZodMiniType<ValueOf<F>> {
  const schema = isField(part) ? fieldSchema(part) : z.object(shapeOf(part));
  const complete = ADDED in part ? z._default(schema, () => startOf(part)) : schema;
  return complete as unknown as z.ZodMiniType<ValueOf<F>>;
}

function fieldSchema(field: Field): z.ZodMiniType {
  switch (field.kind) {
    case 'number':
      return typedSchema;
    case 'curve':
      return typedCurveSchema;
    case 'choice': {
      const keys = field.options.map(({ key }) => key);
      return keys.every((key) => typeof key === 'string') ? z.enum(keys) : z.union(keys.map((key) => z.literal(key)));
    }
    case 'switch':
      return z.boolean();
    case 'text':
      return z.string().check(z.maxLength(100_000));
  }
}

function shapeOf<F extends Fields>(fields: F) {
  return Object.fromEntries(Object.entries(fields).map(([key, part]) => [key, schemaOf(part)])) as {
    [K in keyof F & string]: z.ZodMiniType<ValueOf<F[K]>>;
  };
}

const identity = z.string().check(z.minLength(1));

const {
  name: candidateName,
  turboCount,
  shaftSpeedLimit,
  assumedEfficiency,
  notes: candidateNotes,
  ...card
} = shapeOf(candidateFields);
const candidateSchema = z.object({
  id: z.string(),
  name: candidateName,
  turboCount,
  map: z.nullable(compressorDraftSchema),
  shaftSpeedLimit,
  assumedEfficiency,
  /** The map that is scaled to the measured wheel while the candidate has no map of its own. */
  donor: z._default(z.nullable(compressorDraftSchema), null),
  ...card,
  turbineSheet: z._default(z.nullable(turbineDraftSchema), null),
  notes: candidateNotes,
});

const filedSheetSchema = z.object({
  programVersion: z.string(),
  dateText: z.string(),
  /** SHA-256 of what was entered. */
  inputs: z.string(),
  /** One number each, SI; null with the reason as its key where an engine speed had no point. */
  figures: list(
    z.object({
      candidateId: z.string(),
      engineSpeedRpm: z.number(),
      key: z.string(),
      value: z.nullable(z.number()),
    }),
  ),
});

/** A part to be had ready; ticked by hand on paper, so that no tick is kept. */
const fitmentSchema = z.object({
  id: z.string(),
  /** 'Turbine inlet gasket' */
  part: z.string(),
  /** Size, number, whatever the shop writes. */
  detail: z.string(),
});

const unitSystem = z.enum(['metric', 'us']);
/** Units in which results are shown (unit keys of src/units); a quantity left out is shown in the usual unit of the system. */
const resultUnits = z.readonly(z.partialRecord(z.enum(Object.keys(UNIT_CHOICES) as UnitChoice[]), z.string()));

const channelKey = z.enum(CHANNEL_KEYS);
const columnRole = z.enum([...CHANNEL_KEYS, 'time', 'unused']);

/** What a person says of one column; what is left out is worked out. */
const columnHint = z.object({
  role: z.optional(columnRole),
  /** Key of a unit of the column's kind. */
  unit: z.optional(z.string()),
  basis: z.optional(z.enum(['absolute', 'gauge'])),
  /** Of a shaft speed in Hz: how many blades pass the pickup in one turn; 1 where it counts turns. */
  pulsesPerTurn: z.optional(z.number()),
  /** True where readings that stay at the channel's top are no end of the sensor. */
  keepTop: z.optional(z.boolean()),
});

const logHints = z.object({
  separator: z.optional(z.string()),
  decimal: z.optional(z.enum(['.', ','])),
  /** By the column's number, from 0. */
  columns: z.optional(z.record(z.string(), columnHint)),
  /** Barometer of the day, Pa: turns gauge pressures into absolute ones where the log has no barometer. */
  ambientPressurePa: z.optional(z.number()),
  /** What a power column is. */
  power: z.optional(z.object({ at: z.enum(['crank', 'wheels']), correction: z.enum(POWER_CORRECTIONS) })),
});

const logRows = z.object({
  timeS: z.nullable(list(z.number())),
  /** SI; null where there is no reading. */
  channels: list(z.object({ key: channelKey, values: list(z.nullable(z.number())) })),
});

/** A road log of a build: how its file is read and what was decided; its raw bytes lie in a store of their own, by hash. */
const logSchema = z.object({
  id: z.string().check(z.minLength(1)),
  /** Of the file. */
  name: z.string(),
  /** SHA-256 of the file. */
  hash: z.string(),
  /** When it was opened, ISO 8601. */
  addedAt: z.string(),
  invented: z.optional(z.boolean()),
  /** The candidate that was in the car. */
  candidateId: z.string(),
  /** Names of the columns: a file with the same ones is read the same way. */
  header: z.string(),
  hints: logHints,
  /** The logged shaft speed times this is the true one: a blade count that was accepted. */
  shaftSpeedFactor: z.optional(z.number()),
  /** Taken off the manifold pressure, Pa: a zero of the gauge that was accepted. */
  manifoldZeroPa: z.optional(z.number()),
  /** Pulls that are used, by number; left out: all. */
  usePulls: z.optional(list(z.number())),
  rows: logRows,
});

const { notes, calibration, spread, sheet, ...entered } = shapeOf(buildFields);
const goalCurves = buildFields.goal.curves;
const goalKinds = Object.keys(goalCurves) as (keyof typeof goalCurves)[];

const buildParts = {
  id: identity,
  name: nameText,
  notes,
  /** True for the demonstration build. */
  invented: z.optional(z.boolean()),
  /** In which units it is shown, and new fields are entered. Older builds have none: they follow the settings. */
  units: z.optional(z.object({ system: unitSystem, flowAxisUnit: flowUnitSchema, resultUnits })),
  ...entered,
  // A record, so that a curve of no goal is refused.
  goal: z.object({
    kind: schemaOf(buildFields.goal.kind),
    curves: z.readonly(z.record(z.enum(goalKinds), typedCurveSchema)),
  }),
  places: z._default(list(z.object({ id: identity, ...shapeOf(placeFields) })), []),
  calibration,
  spread,
  candidates: list(candidateSchema),
  sheet,
  // Files from before the match sheet have none.
  fitment: z._default(list(fitmentSchema), usualFitment),
  /** The sheet as it was last filed; the one place where numbers are kept, and only to be compared with. */
  filed: z.optional(filedSheetSchema),
  /** Road logs, oldest first. */
  logs: z.optional(list(logSchema)),
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
  /** Which candidate index the Match view shows. */
  shownCandidate: z.number().check(z.int(), z.nonnegative()),
  /** The candidate index that it is compared with; left out: the next one. */
  comparedCandidate: z.optional(z.number().check(z.int(), z.nonnegative())),
  /** The map of the Match view shows the operating lines of other altitudes as well. */
  otherAltitudes: z.optional(z.boolean()),
  /** System of units of the next build; left out: nobody has chosen yet. */
  system: z.optional(unitSystem),
  resultUnits: z.optional(resultUnits),
  /** Which row of the inputs of the Match view is open: its title; '' for none. Left out: the air. */
  openInputs: z.optional(z.string()),
  /** What its drawer shows; left out: it is closed. */
  matchDrawer: z.optional(z.enum(['closed', 'table', 'turbine', 'differences'])),
});

/** One car: engine, air, exhaust, goal, limits, studies and candidates. Immutable; every command returns a new one. */
export type Build = z.infer<typeof buildSchema>;
export type Candidate = z.infer<typeof candidateSchema>;
export type MapDraft = z.infer<typeof mapDraftSchema>;
export type DraftLine = z.infer<typeof lineSchema>;
/** A sheet as it was filed: only for telling later what has changed. */
export type FiledSheet = z.infer<typeof filedSheetSchema>;
export type FitmentItem = z.infer<typeof fitmentSchema>;
export type Settings = z.infer<typeof settingsSchema>;
export type LogRecord = z.infer<typeof logSchema>;
export type LogRows = z.infer<typeof logRows>;
export type TurbineFileSheet = z.infer<typeof turbineFileSheetSchema>;
export type CompressorFile = z.infer<typeof compressorFileSchema>;
export type TurbineFile = z.infer<typeof turbineFileSchema>;
/** What is kept of the hints of a log, see LogHints. */
export type KeptHints = z.infer<typeof logHints>;
