import {
  type DraftCell2,
  type DraftCell3,
  isTurbineSheet,
  type MapDraft,
  type MapTracing,
  type TracedMark,
} from '../../../build/index.ts';
import type { SheetPlace } from '../../../compressor/index.ts';
import { insertionRow, isClosedContour, type PicturePlace, sensibleDecimals } from '../../../reading/index.ts';
import { parseNumber } from '../../../units/index.ts';
import { withIsland, withLine } from '../editDraft.ts';
import { speedUnitLabel } from '../sheetKinds/sheetKind.ts';
import { ratiosOf, readAxes, tracingOf, withTracing } from './axes.ts';

/** What is being traced. */
export type Target =
  | { kind: 'speed-line'; line: number }
  | { kind: 'surge-line' }
  | { kind: 'island'; island: number }
  | { kind: 'readings' };

/** A point of the tables: its part and its row there. */
interface PointAt {
  target: Target;
  row: number;
}

type TracedRow = DraftCell2 & { efficiency?: string };

const pair = ({ flow, pressureRatio }: TracedRow): DraftCell2 => ({ flow, pressureRatio });
const withEfficiency = (row: TracedRow): DraftCell3 => ({ ...pair(row), efficiency: row.efficiency ?? '' });

export function sameTarget(a: Target | null, b: Target | null): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** The rows of the table that holds the target's points; empty where there is no such line. */
export function targetRows(draft: MapDraft, target: Target): readonly TracedRow[] {
  if (target.kind === 'speed-line') return draft.speedLines[target.line]?.points ?? [];
  if (target.kind === 'surge-line') return draft.surgeLine;
  if (target.kind === 'island') return draft.islands[target.island]?.points ?? [];
  return draft.efficiencyReadings ?? [];
}

function withTargetRows(draft: MapDraft, target: Target, rows: readonly TracedRow[]): MapDraft {
  if (target.kind === 'speed-line')
    return withLine(draft, target.line, (line) => ({ ...line, points: rows.map(withEfficiency) }));
  if (target.kind === 'surge-line') return { ...draft, surgeLine: rows.map(pair) };
  if (target.kind === 'island')
    return withIsland(draft, target.island, (island) => ({ ...island, points: rows.map(pair) }));
  return { ...draft, efficiencyReadings: rows.map(withEfficiency) };
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
  if (target.kind === 'surge-line') return 'the surge line';
  if (target.kind === 'readings') return 'single efficiency readings';
  if (target.kind === 'island') {
    const efficiency = draft.islands[target.island]?.efficiency.trim() ?? '';
    const unit = draft.efficiencyUnit === '%' ? ' %' : '';
    return efficiency === '' ? `island ${target.island + 1} (no value yet)` : `the ${efficiency}${unit} island`;
  }
  const speed = draft.speedLines[target.line]?.speed.trim() ?? '';
  if (isTurbineSheet(draft))
    return speed === '' ? `line ${target.line + 1}` : `the ${speed} ${speedUnitLabel(draft)} line`;
  if (speed === '') return `speed line ${target.line + 1} (no speed yet)`;
  return speed.endsWith('%') ? `the ${speed} speed line` : `the ${speed} rpm line`;
}

/** The target that a place of the tables lies in, with its row; null for what has no points. */
export function targetOfPlace(place: SheetPlace): { target: Target; row: number | undefined } | null {
  if (place.part === 'speed-line') return { target: { kind: 'speed-line', line: place.line }, row: place.point };
  if (place.part === 'surge-line') return { target: { kind: 'surge-line' }, row: place.point };
  if (place.part === 'island') return { target: { kind: 'island', island: place.island }, row: place.point };
  return null;
}

/** Id of a traced point on the stage, and back. */
export function pointId(target: Target, row: number): string {
  return JSON.stringify([target, row]);
}

export function pointOfId(id: string): { target: Target; row: number } | null {
  try {
    const [target, row] = JSON.parse(id) as [Target, number];
    return typeof row === 'number' ? { target, row } : null;
  } catch {
    return null;
  }
}

/** The place of a finding or a row as the point that it is. */
export function pointOfPlace(place: SheetPlace): string | null {
  const at = targetOfPlace(place);
  return at === null || at.row === undefined ? null : pointId(at.target, at.row);
}

/** Pure changes of a draft by tracing: cells get texts, and marks remember where on the picture they were read. */

/**
 * The rows of a target with their places on the picture: where they were read, else where their numbers stand by the axes. Rows that stand
 * nowhere are left out.
 */
export function placedRows(draft: MapDraft, target: Target): { row: number; place: PicturePlace }[] {
  const { calibration } = readAxes(draft);
  const marks = new Map(tracingOf(draft).marks.map((mark) => [keyOf(mark), mark]));
  const ratios = ratiosOf(draft);
  const placeOf = (cells: TracedRow): PicturePlace | null => {
    const mark = marks.get(keyOf(cells));
    if (mark !== undefined) return { x: mark.x, y: mark.y };
    const flow = parseNumber(cells.flow);
    const ratio = parseNumber(cells.pressureRatio);
    if (calibration === null || !flow.ok || !ratio.ok) return null;
    const printed = ratios.toPrinted(flow.value, ratio.value);
    return printed === null ? null : calibration.toPicture({ flow: flow.value, pressureRatio: printed });
  };
  return targetRows(draft, target).flatMap((cells, row) => {
    const place = placeOf(cells);
    return place === null ? [] : [{ row, place }];
  });
}

/**
 * A point more on the target, put in between where it lies between two. The very same draft without a calibration, or where the
 * place has no numbers (beyond the horizon of a photo, flow below zero, pressure ratio not above zero).
 * @param after the row after which it goes; found by its place when left out.
 */
export function addPoint(
  draft: MapDraft,
  target: Target,
  place: PicturePlace,
  after?: number,
): { draft: MapDraft; row: number | null } {
  const read = readPlace(draft, place);
  if (read === null) return { draft, row: null };
  const rows = targetRows(draft, target);
  const filled = rows.filter((row) => row.flow.trim() !== '' || row.pressureRatio.trim() !== '');
  const placed =
    filled.length === rows.length
      ? placedRows(draft, target)
      : placedRows(withTargetRows(draft, target, filled), target);
  const at =
    after !== undefined
      ? Math.min(after + 1, filled.length)
      : target.kind === 'readings'
        ? filled.length
        : insertionRow(placed, place, filled.length, isClosed(draft, target));
  const next = withTargetRows(draft, target, filled.toSpliced(at, 0, { ...read.cells, efficiency: '' }));
  return { draft: withMark(next, read.mark), row: at };
}

/** Puts a point elsewhere. The efficiency beside it stays: it was printed at the point, not at the place. */
export function movePoint(draft: MapDraft, { target, row }: PointAt, place: PicturePlace): MapDraft {
  const read = readPlace(draft, place);
  const cells = targetRows(draft, target)[row];
  if (read === null || cells === undefined) return draft;
  const rows = targetRows(draft, target).with(row, { ...cells, ...read.cells });
  return withMark(withTargetRows(draft, target, rows), read.mark);
}

export function deletePoint(draft: MapDraft, { target, row }: PointAt): MapDraft {
  const rows = targetRows(draft, target);
  return rows[row] === undefined ? draft : withTargetRows(draft, target, rows.toSpliced(row, 1));
}

/**
 * The axes changed: points that were traced stay on the picture and are read anew; cells that were typed stay as they are. Without a
 * calibration nothing is read, and the marks wait.
 */
export function setAxes(draft: MapDraft, axes: MapTracing['axes']): MapDraft {
  const changed = withTracing(draft, { axes });
  const tracing = tracingOf(changed);
  const { calibration } = readAxes(changed);
  if (calibration === null) return changed;
  const used = usedTexts(draft);
  const renewed = new Map<string, TracedMark>();
  for (const mark of tracing.marks) {
    const read = used.has(keyOf(mark)) ? readPlace(changed, mark) : null;
    if (read !== null) renewed.set(keyOf(mark), read.mark);
  }
  const replaced = allTargets(changed).reduce((next, target) => {
    const rows = targetRows(next, target);
    if (!rows.some((row) => renewed.has(keyOf(row)))) return next;
    return withTargetRows(
      next,
      target,
      rows.map((row) => {
        const mark = renewed.get(keyOf(row));
        return mark === undefined ? row : { ...row, flow: mark.flow, pressureRatio: mark.pressureRatio };
      }),
    );
  }, changed);
  const marks = tracing.marks.flatMap((mark) => (used.has(keyOf(mark)) ? (renewed.get(keyOf(mark)) ?? mark) : []));
  return withTracing(replaced, { marks });
}

interface PlaceReading {
  cells: { flow: string; pressureRatio: string };
  mark: TracedMark;
}

/** The texts that a place is worth; null where it has no numbers. */
function readPlace(draft: MapDraft, { x, y }: PicturePlace): PlaceReading | null {
  const { calibration } = readAxes(draft);
  const data = calibration?.toData({ x, y }) ?? null;
  const total = data === null ? null : ratiosOf(draft).toTotal(data.flow, data.pressureRatio);
  if (calibration === null || data === null || total === null || !(total > 0)) return null;
  const decimals = sensibleDecimals(calibration, { x, y });
  // A point on the axis may come out a hair left of it.
  const flow = Math.max(0, data.flow).toFixed(decimals.flow);
  if (data.flow < -0.02 * calibration.error.fullScale.flow) return null;
  const cells = { flow, pressureRatio: total.toFixed(decimals.ratio) };
  return { cells, mark: { ...cells, x: Number(x.toFixed(2)), y: Number(y.toFixed(2)) } };
}

/** With the mark in place of one of the same texts; marks whose cells are gone are dropped once they are many. */
function withMark(draft: MapDraft, mark: TracedMark): MapDraft {
  const { marks } = tracingOf(draft);
  const others = marks.filter((other) => keyOf(other) !== keyOf(mark));
  const used = others.length > 64 ? usedTexts(draft) : null;
  return withTracing(draft, { marks: [...(used === null ? others : others.filter((m) => used.has(keyOf(m)))), mark] });
}

function usedTexts(draft: MapDraft): Set<string> {
  return new Set(allTargets(draft).flatMap((target) => targetRows(draft, target).map(keyOf)));
}

function keyOf({ flow, pressureRatio }: { flow: string; pressureRatio: string }): string {
  return `${flow} ${pressureRatio}`;
}

/** Points found along a stroke, not taken yet. */
export interface Proposal {
  target: Target;
  places: readonly PicturePlace[];
}

/** Proposed points nearer than this to a point that stands already say nothing new, picture pixels. */
const SAME_PX = 4;

/**
 * Takes the proposed points into the tables: in their order along the stroke where the line was empty (a speed line from surge to
 * choke, as tables have it), else each where it belongs between those that stand already, which are not moved.
 */
export function acceptProposal(draft: MapDraft, { target, places }: Proposal): MapDraft {
  const standing = placedRows(draft, target);
  if (standing.length > 0 || targetRows(draft, target).some((row) => row.flow.trim() !== '')) {
    const fresh = places.filter((p) =>
      standing.every(({ place }) => Math.hypot(place.x - p.x, place.y - p.y) > SAME_PX),
    );
    return fresh.reduce((changed, place) => addPoint(changed, target, place).draft, draft);
  }
  const traced = along(draft, target, places).reduce(
    (changed, place, i) =>
      addPoint(changed, target, place, i === 0 ? undefined : targetRows(changed, target).length - 1).draft,
    draft,
  );
  // A stroke that ends far from where it began runs off the edge of the map.
  const xy = places.map(({ x, y }) => ({ flow: x, pressureRatio: y }));
  const closed = isClosedContour(xy, { flow: 1, pressureRatio: 1 });
  return target.kind === 'island' ? withIsland(traced, target.island, (island) => ({ ...island, closed })) : traced;
}

function along(draft: MapDraft, target: Target, places: readonly PicturePlace[]): readonly PicturePlace[] {
  const { calibration } = readAxes(draft);
  const [first, last] = [places[0], places.at(-1)];
  if (calibration === null || first === undefined || last === undefined || target.kind === 'island') return places;
  const from = calibration.toData(first);
  const to = calibration.toData(last);
  if (from === null || to === null) return places;
  // From surge to choke the flow rises; on a turbine sheet, as on the surge line, lines begin at the lowest ratio.
  const isByFlow = target.kind === 'speed-line' && !isTurbineSheet(draft);
  const runsBack = isByFlow ? to.flow < from.flow : to.pressureRatio < from.pressureRatio;
  return runsBack ? places.toReversed() : places;
}

/**
 * An efficiency printed at a place: at a point of a speed line it goes into that point's cell; anywhere else it is a reading by itself.
 * @param reachPx how far the click may be off a point of a line, picture pixels
 */
export function placeReading(draft: MapDraft, place: PicturePlace, reachPx: number, efficiency: string): MapDraft {
  let nearest = { line: -1, row: -1, distance: 1.5 * reachPx };
  draft.speedLines.forEach((_, line) => {
    for (const { row, place: at } of placedRows(draft, { kind: 'speed-line', line })) {
      const distance = Math.hypot(at.x - place.x, at.y - place.y);
      if (distance < nearest.distance) nearest = { line, row, distance };
    }
  });
  if (nearest.line >= 0) {
    return withLine(draft, nearest.line, (line) => {
      const old = line.points[nearest.row];
      return old === undefined ? line : { ...line, points: line.points.with(nearest.row, { ...old, efficiency }) };
    });
  }
  const added = addPoint(draft, { kind: 'readings' }, place);
  if (added.row === null) return draft;
  const readings = added.draft.efficiencyReadings ?? [];
  const last = readings[added.row];
  return last === undefined
    ? added.draft
    : { ...added.draft, efficiencyReadings: readings.with(added.row, { ...last, efficiency }) };
}
