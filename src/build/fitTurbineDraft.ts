import type { AuditFinding, SheetPlace } from '../compressor/types.ts';
import { memory } from '../numerics/index.ts';
import { auditTurbineSheet, fitCapacity, type TurbineRemark } from '../turbine/index.ts';
import type { TurbineCapacity, TurbineSheet } from '../turbine/types.ts';
import type { MapDraft } from './document.ts';
import { draftToTurbineSheet, type TurbineRows } from './draftToTurbineSheet.ts';

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
const SAID_ELSEWHERE: ReadonlySet<TurbineRemark['code']> = new Set(['flow-falls']);

const known = memory<MapDraft['speedLines'], TurbineDraftFit>();

/** Reads and fits the tables of a turbine sheet. Remembered by the identity of the tables, whichever build or name they stand under. */
export function fitTurbineDraft(draft: MapDraft): TurbineDraftFit {
  const { kind, flowParameter, reference, flowUnit, efficiencyUnit, habits } = draft;
  const tables = [kind, flowParameter, reference, flowUnit, efficiencyUnit, habits];
  return known(draft.speedLines, tables, () => fitTables(draft));
}

function fitTables(draft: MapDraft): TurbineDraftFit {
  const reading = draftToTurbineSheet(draft);
  if (!reading.ok) return { sheet: null, capacity: null, findings: reading.problems };
  const { sheet, rows, problems } = reading;
  const fit = fitCapacity(sheet);
  const finding = (severity: AuditFinding['severity'], message: string, path?: string): AuditFinding => {
    const place = path === undefined ? null : placeOf(path, rows);
    return { severity, code: `turbine-${severity}`, message, ...(place === null ? {} : { place }) };
  };
  if (fit.ok) {
    return {
      sheet,
      capacity: fit.capacity,
      findings: [
        ...problems,
        ...auditTurbineSheet(sheet, fit.capacity)
          .filter(({ code }) => !SAID_ELSEWHERE.has(code))
          .map(({ path, message }) => finding('warning', message, path)),
        ...fit.notes.map((note) => finding('note', note)),
      ],
    };
  }
  const errors = fit.problems.map(({ path, message }) => finding('error', message, path));
  return { sheet, capacity: null, findings: [...errors, ...problems] };
}

/** 'lines[0].points[2].flow' of the sheet as a place in the draft's own rows; null: the sheet as a whole. */
function placeOf(path: string, rows: TurbineRows): SheetPlace | null {
  if (path.startsWith('flow')) return { part: 'reference' };
  const [, line, point] = /^lines\[(\d+)\](?:\.points\[(\d+)\])?/.exec(path) ?? [];
  const at = line === undefined ? undefined : rows[Number(line)];
  if (at === undefined) return null;
  const row = point === undefined ? undefined : at.points[Number(point)];
  return { part: 'speed-line', line: at.row, ...(row === undefined ? {} : { point: row }) };
}
