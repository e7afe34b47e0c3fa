import type { AuditFinding, SheetPlace } from '../compressor/types.ts';
import { memory } from '../numerics/index.ts';
import { auditTurbineSheet, fitCapacity, type TurbineRemark, type TurbineWordUnits } from '../turbine/index.ts';
import type { TurbineCapacity, TurbineSheet, TurbineSheetPoint } from '../turbine/types.ts';
import { findUnit, isVolumeFlow } from '../units/index.ts';
import type { DraftCell3, MapDraft } from './document.ts';
import {
  isUnread,
  type ReadRows,
  type Report,
  readEfficiency,
  readLines,
  readPlace,
  readReference,
  refusal,
  reportTo,
  type Unread,
} from './draftCells.ts';

/** The sheet that could be read, with what had to be left out; or no sheet at all. Places count the draft's own rows. */
type TurbineReading =
  | { ok: true; sheet: TurbineSheet; rows: readonly ReadRows[]; problems: readonly AuditFinding[] }
  | { ok: false; problems: readonly AuditFinding[] };

/**
 * The text tables of a turbine sheet to numbers. Empty rows are passed over; a row that is half filled, cannot be read or cannot be is left
 * out and reported with its place, and the rest is read all the same. A line may have no speed. There is no sheet only where what the flows
 * are is not known (reference state or unit), where the tables hold more than any sheet does, or are those of a compressor map.
 */
export function draftToTurbineSheet(draft: MapDraft): TurbineReading {
  const refused = refusal(draft, 'turbine');
  if (refused !== null) return refused;
  const problems: AuditFinding[] = [];
  const report = reportTo(problems);
  const readPoint = (cells: DraftCell3, where: string, at: SheetPlace) =>
    turbinePoint(cells, draft.efficiencyUnit, where, at, report);
  const lines = readLines(draft, { ...LINES, readPoint }, report);
  const flow = readFlow(draft, problems);
  if (flow === null) return { ok: false, problems };
  const sheet: TurbineSheet = {
    name: draft.name,
    source: draft.source,
    flow,
    lines: lines.map(({ speedRpm, values }) => ({ ...(speedRpm === null ? {} : { speedRpm }), points: values })),
    ...(draft.invented === undefined ? {} : { invented: draft.invented }),
  };
  return { ok: true, sheet, rows: lines, problems };
}

const LINES = {
  unnamed: 'Line',
  noSpeed: 'has no speed that can be read; it is left out. Enter its corrected speed, or leave the speed empty.',
  mayLackSpeed: true,
};

function readFlow(draft: MapDraft, problems: AuditFinding[]): TurbineSheet['flow'] | null {
  const { flowParameter, flowUnit } = draft;
  if (flowParameter !== undefined) return { kind: 'parameter', pressureUnit: flowParameter };
  const reference = readReference(draft, problems);
  if (!isVolumeFlow(flowUnit)) {
    return reference === null ? null : { kind: 'corrected', unit: flowUnit, reference };
  }
  const message = `The flow of a turbine is a mass flow, not one in ${flowUnit}. Choose kg/s or lb/min, or the flow parameter.`;
  problems.push({ severity: 'error', code: 'turbine-flow-unit', message, place: { part: 'reference' } });
  return null;
}

function turbinePoint(
  cells: DraftCell3,
  unit: MapDraft['efficiencyUnit'],
  where: string,
  place: SheetPlace,
  report: Report,
): TurbineSheetPoint | Unread {
  const point = readPlace(cells, where, 'expansion ratio');
  if (isUnread(point)) return point;
  const { flow, pressureRatio: expansionRatio } = point;
  if (expansionRatio <= 1) {
    const what = 'It is the pressure before the turbine over that behind it, both absolute.';
    return [`${where}: the expansion ratio is not above 1; the point is left out. ${what}`, 'pressureRatio'];
  }
  if (flow <= 0) return [`${where}: the flow is not above zero; the point is left out.`, 'flow'];
  const { efficiency } = readEfficiency(cells, unit, where, place, report);
  if (efficiency === undefined) return { expansionRatio, flow };
  if (efficiency < 1) return { expansionRatio, flow, efficiency };
  report(place, `${where}: no turbine has an efficiency of 100 %; it is left out.`, 'efficiency');
  return { expansionRatio, flow };
}

/** The numbers of a turbine sheet, under whatever name. */
export type TurbineTables = Pick<TurbineSheet, 'flow' | 'lines'>;

/** All that is made of the tables of a turbine sheet. */
export interface TurbineDraftFit {
  /** null: what the flows are is not known, or the tables are too big. Without its name and source: they are not of the tables. */
  sheet: TurbineTables | null;
  /** null: see the findings of severity 'error'. */
  capacity: TurbineCapacity | null;
  /** What was left out of the tables, why nothing could be fitted, and what is doubtful; places count the draft's own rows. */
  findings: readonly AuditFinding[];
}

/** The fit's notes say where flow falls. */
const IN_FIT_NOTES: ReadonlySet<TurbineRemark['code']> = new Set(['flow-falls']);

const known = memory<MapDraft['speedLines'], TurbineDraftFit>();

/** Reads and fits the tables of a turbine sheet. Remembered by the identity of the tables, whichever build or name they stand under. */
export function fitTurbineDraft(draft: MapDraft): TurbineDraftFit {
  const { kind, flowParameter, reference, flowUnit, efficiencyUnit, habits } = draft;
  const tables = [kind, flowParameter, reference, flowUnit, efficiencyUnit, habits];
  return known(draft.speedLines, tables, () => fitTables(draft));
}

/** The units of the fields of the reference state; US openings where the temperature is entered in degrees Fahrenheit. */
function wordUnits({ reference: { temperature, pressure } }: MapDraft): TurbineWordUnits {
  return {
    temperature: findUnit('temperature', temperature.unit)?.key ?? 'K',
    pressure: findUnit('pressure-absolute', pressure.unit)?.key ?? 'kPa',
    opening: temperature.unit === 'degF' ? 'in2' : 'mm2',
  };
}

function fitTables(draft: MapDraft): TurbineDraftFit {
  const reading = draftToTurbineSheet(draft);
  if (!reading.ok) return { sheet: null, capacity: null, findings: reading.problems };
  const { sheet, rows, problems } = reading;
  const units = wordUnits(draft);
  const fit = fitCapacity(sheet, units);
  const finding = (severity: AuditFinding['severity'], message: string, path?: string): AuditFinding => {
    const at = path === undefined ? {} : placeOf(path, rows);
    return { severity, code: `turbine-${severity}`, message, ...at };
  };
  if (fit.ok) {
    return {
      sheet,
      capacity: fit.capacity,
      findings: [
        ...problems,
        ...auditTurbineSheet(sheet, fit.capacity, units)
          .filter(({ code }) => !IN_FIT_NOTES.has(code))
          .map(({ path, message }) => finding('warning', message, path)),
        ...fit.notes.map((note) => finding('note', note)),
      ],
    };
  }
  const errors = fit.problems.map(({ path, message }) => finding('error', message, path));
  return { sheet, capacity: null, findings: [...errors, ...problems] };
}

/** What a path of the sheet ends in, as a column of the tables. */
const COLUMNS: Readonly<Record<string, AuditFinding['column']>> = {
  speedRpm: 'speed',
  flow: 'flow',
  expansionRatio: 'pressureRatio',
  efficiency: 'efficiency',
};

/** 'lines[0].points[2].flow' of the sheet as a place in the draft's own rows and its column; neither: the sheet as a whole. */
function placeOf(path: string, rows: readonly ReadRows[]): Pick<AuditFinding, 'place' | 'column'> {
  if (path.startsWith('flow')) return { place: { part: 'reference' } };
  const [, line, point, end = ''] = /^lines\[(\d+)\](?:\.points\[(\d+)\])?(?:\.(\w+))?/.exec(path) ?? [];
  const at = line === undefined ? undefined : rows[Number(line)];
  if (at === undefined) return {};
  const row = point === undefined ? undefined : at.points[Number(point)];
  const place: SheetPlace = { part: 'speed-line', line: at.row, ...(row === undefined ? {} : { point: row }) };
  return { place, ...(COLUMNS[end] === undefined ? {} : { column: COLUMNS[end] }) };
}
