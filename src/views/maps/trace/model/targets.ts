import { type DraftCell2, type DraftCell3, isTurbineSheet, type MapDraft } from '../../../../build/index.ts';
import type { SheetPlace } from '../../../../compressor/index.ts';
import { withIsland, withLine } from '../../model/editDraft.ts';
import { speedUnitLabel } from '../../model/sheetWords.ts';

/** What is being traced. */
export type Target =
  | { kind: 'speed-line'; line: number }
  | { kind: 'surge-line' }
  | { kind: 'island'; island: number }
  | { kind: 'readings' };

/** A point of the tables: its part and its row there. */
export interface PointAt {
  target: Target;
  row: number;
}

export type TracedRow = DraftCell2 & { efficiency?: string };

export function sameTarget(a: Target | null, b: Target | null): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** The rows of the table that holds the target's points; empty where there is no such line. */
export function targetRows(draft: MapDraft, target: Target): readonly TracedRow[] {
  switch (target.kind) {
    case 'speed-line':
      return draft.speedLines[target.line]?.points ?? [];
    case 'surge-line':
      return draft.surgeLine;
    case 'island':
      return draft.islands[target.island]?.points ?? [];
    case 'readings':
      return draft.efficiencyReadings ?? [];
  }
}

export function withTargetRows(draft: MapDraft, target: Target, rows: readonly TracedRow[]): MapDraft {
  switch (target.kind) {
    case 'speed-line':
      return withLine(draft, target.line, (line) => ({ ...line, points: rows.map(withEfficiency) }));
    case 'surge-line':
      return { ...draft, surgeLine: rows.map(pair) };
    case 'island':
      return withIsland(draft, target.island, (island) => ({ ...island, points: rows.map(pair) }));
    case 'readings':
      return { ...draft, efficiencyReadings: rows.map(withEfficiency) };
  }
}

/** Every part of the draft that has points. */
export function allTargets(draft: MapDraft): Target[] {
  const lines = draft.speedLines.map((_, line): Target => ({ kind: 'speed-line', line }));
  // A turbine sheet has nothing but lines.
  if (isTurbineSheet(draft)) return lines;
  return [
    ...lines,
    { kind: 'surge-line' },
    ...draft.islands.map((_, island): Target => ({ kind: 'island', island })),
    { kind: 'readings' },
  ];
}

/** Whether the target's last point joins its first. */
export function isClosed(draft: MapDraft, target: Target): boolean {
  return target.kind === 'island' && draft.islands[target.island]?.closed === true;
}

/** In a sentence: 'the 90 000 rpm line'. */
export function targetName(draft: MapDraft, target: Target): string {
  switch (target.kind) {
    case 'speed-line': {
      const speed = draft.speedLines[target.line]?.speed.trim() ?? '';
      if (isTurbineSheet(draft)) {
        return speed === '' ? `line ${target.line + 1}` : `the ${speed} ${speedUnitLabel(draft)} line`;
      }
      if (speed === '') return `speed line ${target.line + 1} (no speed yet)`;
      return speed.endsWith('%') ? `the ${speed} speed line` : `the ${speed} rpm line`;
    }
    case 'surge-line':
      return 'the surge line';
    case 'island': {
      const efficiency = draft.islands[target.island]?.efficiency.trim() ?? '';
      const unit = draft.efficiencyUnit === '%' ? ' %' : '';
      return efficiency === '' ? `island ${target.island + 1} (no value yet)` : `the ${efficiency}${unit} island`;
    }
    case 'readings':
      return 'single efficiency readings';
  }
}

/** The target that a place of the tables lies in, with its row; null for what has no points. */
export function targetOfPlace(place: SheetPlace): { target: Target; row: number | undefined } | null {
  switch (place.part) {
    case 'speed-line':
      return { target: { kind: 'speed-line', line: place.line }, row: place.point };
    case 'surge-line':
      return { target: { kind: 'surge-line' }, row: place.point };
    case 'island':
      return { target: { kind: 'island', island: place.island }, row: place.point };
    default:
      return null;
  }
}

/** The other way round; single readings have no place in the sheet. */
export function placeOfTarget(target: Target, point?: number): SheetPlace | null {
  switch (target.kind) {
    case 'speed-line':
      return { part: 'speed-line', line: target.line, point };
    case 'surge-line':
      return { part: 'surge-line', point };
    case 'island':
      return { part: 'island', island: target.island, point };
    case 'readings':
      return null;
  }
}

const pair = ({ flow, pressureRatio }: TracedRow): DraftCell2 => ({ flow, pressureRatio });
const withEfficiency = (row: TracedRow): DraftCell3 => ({ ...pair(row), efficiency: row.efficiency ?? '' });
