import type { MapDraft, MapTracing, TracedMark } from '../../../../build/index.ts';
import type { Calibration, PicturePlace } from '../../../../compressor/reading/index.ts';
import { parseNumber } from '../../../../units/index.ts';
import { readAxes, sensibleDecimals } from './axes.ts';
import { insertionRow } from './insertionRow.ts';
import { type RatioReader, ratioReader } from './printedRatio.ts';
import {
  allTargets,
  isClosed,
  type PointAt,
  type Target,
  type TracedRow,
  targetRows,
  withTargetRows,
} from './targets.ts';
import { tracingOf, withTracing } from './tracing.ts';

/** Pure changes of a draft by tracing: cells get texts, and marks remember where on the picture they were read. */

/** Where a row lies on the picture: where it was read, else where its numbers stand by the axes. null: nowhere. */
export function rowPlace(
  row: TracedRow,
  marks: MarkFinder,
  calibration: Calibration | null,
  ratios: RatioReader,
): PicturePlace | null {
  const mark = marks(row);
  if (mark !== undefined) return { x: mark.x, y: mark.y };
  const flow = parseNumber(row.flow);
  const ratio = parseNumber(row.pressureRatio);
  if (calibration === null || !flow.ok || !ratio.ok) return null;
  const printed = ratios.toPrinted(flow.value, ratio.value);
  return printed === null ? null : calibration.toPicture({ flow: flow.value, pressureRatio: printed });
}

export type MarkFinder = (row: TracedRow) => TracedMark | undefined;

/** Finds where cells were read, by their texts. */
export function markFinder(marks: readonly TracedMark[]): MarkFinder {
  const byText = new Map(marks.map((mark) => [keyOf(mark), mark]));
  return (row) => byText.get(keyOf(row));
}

/** The rows of a target with their places; rows that stand nowhere on the picture are left out. */
export function placedRows(draft: MapDraft, target: Target): { row: number; place: PicturePlace }[] {
  const tracing = tracingOf(draft);
  const { calibration } = readAxes(draft);
  const find = markFinder(tracing.marks);
  const ratios = ratioReader(draft);
  return targetRows(draft, target).flatMap((cells, row) => {
    const place = rowPlace(cells, find, calibration, ratios);
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

/** Several points at once, in their order, in place of those that lie between them: a followed stroke that was accepted. */
export function addPoints(draft: MapDraft, target: Target, places: readonly PicturePlace[]): MapDraft {
  return places.reduce((changed, place) => addPoint(changed, target, place).draft, draft);
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
  const total = data === null ? null : ratioReader(draft).toTotal(data.flow, data.pressureRatio);
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
