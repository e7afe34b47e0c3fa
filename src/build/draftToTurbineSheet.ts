import type { AuditFinding, SheetPlace } from '../compressor/types.ts';
import type { TurbineLine, TurbineSheet, TurbineSheetPoint } from '../turbine/types.ts';
import type { DraftCell3, MapDraft } from './document.ts';
import {
  blank,
  isEmptyRow,
  type Numbered,
  type Report,
  readEfficiency,
  readPlace,
  readReference,
  readRows,
} from './draftCells.ts';
import { lineSpeed } from './lineSpeed.ts';
import { mapTooBig } from './mapTooBig.ts';
import { isTurbineSheet } from './sheetKind.ts';

/** Which row of the tables each line and point of the sheet was read from. */
export type TurbineRows = readonly { row: number; points: readonly number[] }[];

/** The sheet that could be read, with what had to be left out; or no sheet at all. Places count the draft's own rows. */
export type TurbineReading =
  | { ok: true; sheet: TurbineSheet; rows: TurbineRows; problems: readonly AuditFinding[] }
  | { ok: false; problems: readonly AuditFinding[] };

/**
 * The text tables of a turbine sheet to numbers. Empty rows are passed over; a row that is half filled, cannot be read or cannot be is left
 * out and reported with its place, and the rest is read all the same. A line may have no speed. There is no sheet only where what the flows
 * are is not known (reference state or unit), where the tables hold more than any sheet does, or are those of a compressor map.
 */
export function draftToTurbineSheet(draft: MapDraft): TurbineReading {
  const tooBig = mapTooBig(draft);
  if (tooBig !== null) return refused('too-many-points', tooBig);
  if (!isTurbineSheet(draft)) {
    return refused(
      'compressor-map',
      `'${draft.name}' is a compressor map, not a turbine sheet. Choose a turbine sheet.`,
    );
  }
  const problems: AuditFinding[] = [];
  const lines = readLines(draft, (place, message) => {
    problems.push({ severity: 'warning', code: 'entry-left-out', message, place });
  });
  const flow = readFlow(draft, problems);
  if (flow === null) return { ok: false, problems };
  const sheet: TurbineSheet = {
    name: draft.name,
    source: draft.source,
    flow,
    lines: lines.map((line) => line.value),
    ...(draft.invented === undefined ? {} : { invented: draft.invented }),
  };
  return { ok: true, sheet, rows: lines, problems };
}

function refused(code: string, message: string): TurbineReading {
  return { ok: false, problems: [{ severity: 'error', code, message }] };
}

function readFlow(draft: MapDraft, problems: AuditFinding[]): TurbineSheet['flow'] | null {
  const { flowParameter, flowUnit } = draft;
  if (flowParameter !== undefined) return { kind: 'parameter', pressureUnit: flowParameter };
  const reference = readReference(draft, problems);
  if (flowUnit === 'kg/s' || flowUnit === 'lb/min') {
    return reference === null ? null : { kind: 'corrected', unit: flowUnit, reference };
  }
  const message = `The flow of a turbine is a mass flow, not one in ${flowUnit}. Choose kg/s or lb/min, or the flow parameter.`;
  problems.push({ severity: 'error', code: 'turbine-flow-unit', message, place: { part: 'reference' } });
  return null;
}

function readLines(draft: MapDraft, report: Report): Numbered<TurbineLine>[] {
  const read: Numbered<TurbineLine>[] = [];
  draft.speedLines.forEach((line, row) => {
    const noSpeed = blank(line.speed);
    if (noSpeed && line.points.every(isEmptyRow)) return;
    const name = noSpeed ? `Line ${row + 1}` : `The ${line.speed.trim()} line`;
    const place = (point: number): SheetPlace => ({ part: 'speed-line', line: row, point });
    const readPoint = (cells: DraftCell3, where: string, at: SheetPlace) =>
      turbinePoint(cells, draft.efficiencyUnit, where, at, report);
    const { values: points, rows } = readRows(line.points, readPoint, place, name, report);
    const speed = noSpeed ? null : lineSpeed(line.speed, draft.habits);
    const lineAt: SheetPlace = { part: 'speed-line', line: row };
    if (speed !== null && !speed.ok) {
      const how =
        speed.reason === 'no-design-speed'
          ? 'has its speed in percent; it is left out. Enter the design speed that stands for 100 %.'
          : 'has no speed that can be read; it is left out. Enter its corrected speed, or leave the speed empty.';
      report(lineAt, `${name} ${how}`);
    } else if (points.length === 0) {
      report(lineAt, `${name} has no points yet; it is left out.`);
    } else {
      read.push({ value: { ...(speed === null ? {} : { speedRpm: speed.rpm }), points }, row, points: rows });
    }
  });
  return read;
}

function turbinePoint(
  cells: DraftCell3,
  unit: MapDraft['efficiencyUnit'],
  where: string,
  place: SheetPlace,
  report: Report,
): TurbineSheetPoint | string {
  const point = readPlace(cells, where, 'expansion ratio');
  if (typeof point === 'string') return point;
  const { flow, pressureRatio: expansionRatio } = point;
  if (expansionRatio <= 1) {
    return `${where}: the expansion ratio is not above 1; the point is left out. It is the pressure before the turbine over that behind it, both absolute.`;
  }
  if (flow <= 0) return `${where}: the flow is not above zero; the point is left out.`;
  const { efficiency } = readEfficiency(cells, unit, where, place, report);
  if (efficiency === undefined) return { expansionRatio, flow };
  if (efficiency < 1) return { expansionRatio, flow, efficiency };
  report(place, `${where}: no turbine has an efficiency of 100 %; it is left out.`);
  return { expansionRatio, flow };
}
