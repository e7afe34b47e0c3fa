import { type AxisPoint, axisPoint, type MapDraft, type MapTracing, type SheetPicture } from '../../../build/index.ts';
import { joined } from '../../../units/index.ts';
import { emptyTracingOf, tracingOf, withTracing } from './axes.ts';
import { setAxes } from './tracePoints.ts';

/**
 * The picture that the map is traced from. The same picture opened again (same size: it had been left out of a file) keeps axes and
 * marks; another one begins without, and the numbers in the tables stay.
 */
export function setPicture(draft: MapDraft, picture: SheetPicture | null, today: string): MapDraft {
  const old = tracingOf(draft);
  const isSame = old.picture !== null && old.picture.width === picture?.width && old.picture.height === picture.height;
  const tracing: MapTracing =
    isSame || old.picture === null ? { ...old, picture } : { ...emptyTracingOf(draft), picture };
  const given = draft.provenance;
  const readFrom =
    picture === null ? '' : `${picture.name}${picture.page === undefined ? '' : `, page ${picture.page}`}`;
  const provenance = {
    readBy: given?.readBy ?? '',
    readFrom: given !== undefined && given.readFrom !== '' ? given.readFrom : readFrom,
    readOn: given !== undefined && given.readOn !== '' ? given.readOn : today,
  };
  return setProvenance({ ...draft, tracing }, provenance);
}

/** Straight scan or photo. Grid points are good for both; the others wait empty. */
export function setMode(draft: MapDraft, mode: MapTracing['axes']['mode']): MapDraft {
  const { axes } = tracingOf(draft);
  if (axes.mode === mode) return draft;
  const grid = axes.points.filter((point) => point.on === 'grid' && !isEmpty(point));
  const points =
    mode === 'axes'
      ? [...emptyTracingOf(draft).axes.points, ...grid]
      : [...grid, ...Array.from({ length: Math.max(0, 4 - grid.length) }, () => axisPoint('grid'))];
  return setAxes(draft, { mode, points });
}

/** The rows of the table of axis points. A row with both values is a grid point, whatever it began as. */
export function setAxisPoints(
  draft: MapDraft,
  points: readonly (Omit<AxisPoint, 'on'> & { on?: AxisPoint['on'] })[],
): MapDraft {
  const { axes } = tracingOf(draft);
  const named = points.map((point): AxisPoint => {
    const on = point.on ?? 'grid';
    const both = point.flow.trim() !== '' && point.pressureRatio.trim() !== '';
    return { ...point, on: both || axes.mode === 'grid' ? 'grid' : on };
  });
  return setAxes(draft, { ...axes, points: named });
}

/** Puts an axis point on the picture. */
export function placeAxisPoint(draft: MapDraft, row: number, place: { x: number; y: number }): MapDraft {
  const { axes } = tracingOf(draft);
  const old = axes.points[row];
  if (old === undefined) return draft;
  const text = (value: number) => String(Number(value.toFixed(2)));
  return setAxes(draft, { ...axes, points: axes.points.with(row, { ...old, x: text(place.x), y: text(place.y) }) });
}

export function addAxisPoint(draft: MapDraft): MapDraft {
  const { axes } = tracingOf(draft);
  return setAxes(draft, { ...axes, points: [...axes.points, axisPoint('grid')] });
}

/** Changes what is written in the source line only where it is what these fields said before: a typed one stays. */
export function setProvenance(draft: MapDraft, changed: Partial<NonNullable<MapDraft['provenance']>>): MapDraft {
  const old = draft.provenance ?? { readBy: '', readFrom: '', readOn: '' };
  const provenance = { ...old, ...changed };
  const wasOwn = draft.source.trim() === '' || draft.source === sourceLine(old);
  return { ...draft, provenance, ...(wasOwn ? { source: sourceLine(provenance) } : {}) };
}

function sourceLine({ readBy, readFrom, readOn }: NonNullable<MapDraft['provenance']>): string {
  return joined([
    readBy.trim() === '' ? '' : `read by ${readBy.trim()}`,
    readFrom.trim() === '' ? '' : `from ${readFrom.trim()}`,
    readOn.trim(),
  ]);
}

function isEmpty({ x, y, flow, pressureRatio }: AxisPoint): boolean {
  return [x, y, flow, pressureRatio].every((text) => text.trim() === '');
}

/** Changes how the picture is shown. */
export function setLook(draft: MapDraft, changed: Partial<MapTracing['look']>): MapDraft {
  return withTracing(draft, { look: { ...tracingOf(draft).look, ...changed } });
}
