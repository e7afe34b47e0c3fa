import type { DraftCell2, DraftCell3, DraftLine, MapDraft } from '../../build/index.ts';
import type { FlowAndRatio, ReferenceState, SheetPlace } from '../../compressor/index.ts';
import {
  type FlowParameterUnit,
  flowParameterPressures,
  kgPerSToSheetFlow,
  parseNumber,
  parseQuantity,
  plainNumber,
  REFERENCE_GAS_CONSTANT,
} from '../../units/index.ts';

/** Pure changes of a map's tables: each gives a new draft that shares what did not change. Indices out of range change nothing. */

export const emptyPoint: DraftCell3 = { flow: '', pressureRatio: '', efficiency: '' };

export function withLine(draft: MapDraft, line: number, change: (line: DraftLine) => DraftLine): MapDraft {
  const old = draft.speedLines[line];
  if (old === undefined) return draft;
  const next = change(old);
  return next === old ? draft : { ...draft, speedLines: draft.speedLines.with(line, next) };
}

export function setLineSpeed(draft: MapDraft, line: number, speed: string): MapDraft {
  return withLine(draft, line, (old) => ({ ...old, speed }));
}

export function setLinePoints(draft: MapDraft, line: number, points: readonly DraftCell3[]): MapDraft {
  return withLine(draft, line, (old) => ({ ...old, points }));
}

/** An empty line behind the others. */
export function addLine(draft: MapDraft): MapDraft {
  return { ...draft, speedLines: [...draft.speedLines, { speed: '', points: [emptyPoint] }] };
}

/** Without the line; the last one is emptied instead, so that there is always a table to type into. */
export function removeLine(draft: MapDraft, line: number): MapDraft {
  if (draft.speedLines[line] === undefined) return draft;
  const left = draft.speedLines.toSpliced(line, 1);
  return { ...draft, speedLines: left.length > 0 ? left : [{ speed: '', points: [emptyPoint] }] };
}

/** Speed of a line, rev/min; null when it cannot be read. */
export function speedOf(line: DraftLine): number | null {
  const parsed = parseNumber(line.speed, 'integer-like');
  return parsed.ok ? parsed.value : null;
}

/** Lines in rising speed, those without a speed at the end. The very same draft when they stand so already. */
export function sortLines(draft: MapDraft): MapDraft {
  const key = (line: DraftLine): number => speedOf(line) ?? Number.POSITIVE_INFINITY;
  const { speedLines } = draft;
  if (speedLines.every((line, i) => i === 0 || key(speedLines[i - 1]!) <= key(line))) return draft;
  // Lines without a speed are equal: Infinity - Infinity would be NaN and no order at all.
  const sorted = speedLines.toSorted((a, b) => (key(a) === key(b) ? 0 : key(a) - key(b)));
  return { ...draft, speedLines: sorted };
}

/** The points of every line in order from surge to choke; rows that cannot be read stay behind the others. */
export function sortPoints(draft: MapDraft): MapDraft {
  const speedLines = draft.speedLines.map((line) => {
    const read = line.points.map((p) => ({ p, flow: value(p.flow), ratio: value(p.pressureRatio) }));
    const full = read.filter((r) => r.flow !== null && r.ratio !== null);
    const rest = read.filter((r) => r.flow === null || r.ratio === null);
    const { sorted, changed } = sortAlong(
      full,
      (r) => r.flow ?? 0,
      (r) => r.ratio ?? 0,
    );
    return changed ? { ...line, points: [...sorted, ...rest].map((r) => r.p) } : line;
  });
  return speedLines.every((line, i) => line === draft.speedLines[i]) ? draft : { ...draft, speedLines };
}

export function setSurgeLine(draft: MapDraft, points: readonly DraftCell2[]): MapDraft {
  return { ...draft, surgeLine: points };
}

/** Said of a surge line that no sheet draws, so that nobody takes it for one that was read. */
const SURGE_TAKEN = 'The surge line was not read: it is the left ends of the speed lines.';

/** Nothing stands in the tables and no picture is being traced. */
export function isBlankSheet({ speedLines, surgeLine, islands, tracing }: MapDraft): boolean {
  const isEmpty = (row: object) => Object.values(row).every((text) => text.trim() === '');
  return (
    !tracing?.picture &&
    speedLines.every((line) => line.speed.trim() === '' && line.points.every(isEmpty)) &&
    [surgeLine, ...islands.map(({ points }) => points)].every((rows) => rows.every(isEmpty))
  );
}

/** The surge line made of the first point of every line, in rising speed: a start where the sheet draws none. Kept with the map as what it is. */
export function surgeLineFromLines(draft: MapDraft): MapDraft {
  const points = sortLines(draft).speedLines.flatMap((line) => {
    const read = line.points.flatMap((p) => {
      const flow = value(p.flow);
      return flow === null || value(p.pressureRatio) === null ? [] : [{ flow, cell: p }];
    });
    const first = read.reduce<(typeof read)[number] | null>((a, b) => (a === null || b.flow < a.flow ? b : a), null);
    return first === null || speedOf(line) === null
      ? []
      : [{ flow: first.cell.flow, pressureRatio: first.cell.pressureRatio }];
  });
  const assumed = [...(draft.assumed ?? []).filter((note) => note !== SURGE_TAKEN), SURGE_TAKEN];
  return { ...draft, surgeLine: points, assumed };
}

type DraftIsland = MapDraft['islands'][number];

export function withIsland(draft: MapDraft, island: number, change: (island: DraftIsland) => DraftIsland): MapDraft {
  const old = draft.islands[island];
  return old === undefined ? draft : { ...draft, islands: draft.islands.with(island, change(old)) };
}

export function addIsland(draft: MapDraft): MapDraft {
  const point: DraftCell2 = { flow: '', pressureRatio: '' };
  return { ...draft, islands: [...draft.islands, { efficiency: '', closed: true, points: [point] }] };
}

/** Islands of a pasted table beside those that hold something already; an empty one gives way. */
export function withPastedIslands(draft: MapDraft, pasted: readonly DraftIsland[]): MapDraft {
  const kept = draft.islands.filter(({ points }) => points.some((p) => p.flow.trim() !== ''));
  return { ...draft, islands: [...kept, ...pasted] };
}

export function removeIsland(draft: MapDraft, island: number): MapDraft {
  return draft.islands[island] === undefined ? draft : { ...draft, islands: draft.islands.toSpliced(island, 1) };
}

/**
 * How efficiencies are typed. Numbers that are plainly in the other unit already (74 under a heading of fractions) are left as they
 * stand: then the setting was wrong and not the numbers. Others are brought along, so that no efficiency changes.
 */
export function setEfficiencyUnit(draft: MapDraft, unit: MapDraft['efficiencyUnit']): MapDraft {
  if (unit === draft.efficiencyUnit) return draft;
  const text = (typed: string): string => {
    const n = value(typed);
    if (n === null || n > 1.5 === (unit === '%')) return typed;
    const converted = plainNumber(unit === '%' ? n * 100 : n / 100, 8);
    return typed.includes(',') && !typed.includes('.') ? converted.replace('.', ',') : converted;
  };
  return {
    ...draft,
    efficiencyUnit: unit,
    speedLines: draft.speedLines.map((line) => ({
      ...line,
      points: line.points.map((p) => (p.efficiency === '' ? p : { ...p, efficiency: text(p.efficiency) })),
    })),
    islands: draft.islands.map((island) => ({ ...island, efficiency: text(island.efficiency) })),
  };
}

function value(text: string): number | null {
  const parsed = parseNumber(text);
  return parsed.ok ? parsed.value : null;
}

/**
 * Points of a speed line in order from surge to choke: rising flow less falling pressure ratio, each over the line's own span, because
 * the flow of measured points scatters where the line is near-vertical. A line that was read from choke to surge, or whose flow falls
 * by no more than reading noise (1.5 % of its largest), counts as ordered and is given back as it stands.
 */
export function sortAlong<T>(
  points: readonly T[],
  flowOf: (point: T) => number,
  ratioOf: (point: T) => number,
): { sorted: readonly T[]; changed: boolean } {
  const flows = points.map(flowOf);
  const noise = 0.015 * Math.max(...flows);
  const rises = (list: readonly number[]): boolean => list.every((f, i) => i === 0 || f >= list[i - 1]! - noise);
  if (points.length < 2 || (rises(flows) && (flows.at(-1) ?? 0) >= (flows[0] ?? 0)))
    return { sorted: points, changed: false };
  if (rises([...flows].reverse())) return { sorted: points, changed: false };
  const ratios = points.map(ratioOf);
  const flowLow = Math.min(...flows);
  const ratioLow = Math.min(...ratios);
  const flowSpan = Math.max(...flows) - flowLow || 1;
  const ratioSpan = Math.max(...ratios) - ratioLow || 1;
  const along = (i: number): number => (flows[i]! - flowLow) / flowSpan - (ratios[i]! - ratioLow) / ratioSpan;
  const order = points.map((_, i) => i).sort((a, b) => along(a) - along(b));
  return { sorted: order.map((i) => points[i]!), changed: true };
}

/** Used for drawing while the sheet's own reference cannot be read: it cancels out between points and axis. */
export const STAND_IN = { temperatureK: 298.15, pressurePa: 100_000 };

/** The reference state of the sheet in SI; null while it cannot be read. */
export function readReference({ reference }: Pick<MapDraft, 'reference'>): ReferenceState | null {
  const { temperature, pressure } = reference;
  const t = parseQuantity(temperature.text, 'temperature', temperature.unit);
  const p = parseQuantity(pressure.text, 'pressure-absolute', pressure.unit);
  return t.ok && p.ok && t.si > 0 && p.si > 0 ? { temperatureK: t.si, pressurePa: p.si } : null;
}

/** The reference state that is drawn with; a flow parameter has none. */
export function drawingReference(draft: MapDraft): ReferenceState {
  return draft.flowParameter === undefined ? (readReference(draft) ?? STAND_IN) : STAND_IN;
}

/**
 * Flow in the sheet's own unit of one corrected kg/s at the drawing reference. A flow parameter is drawn as the corrected flow that it is
 * at the stand-in reference, which cancels out on the axis.
 */
export function flowPerKgPerS(draft: MapDraft): number {
  if (draft.flowParameter === undefined) return kgPerSToSheetFlow(1, draft.flowUnit, drawingReference(draft));
  return parameterPerKgPerS(draft.flowParameter, STAND_IN);
}

/** Flow parameter W sqrt(T03)/p03 in kg sqrt(K)/(s unit) of a corrected flow of 1 kg/s at a reference state. */
export function parameterPerKgPerS(unit: FlowParameterUnit, { temperatureK, pressurePa }: ReferenceState): number {
  return Math.sqrt(temperatureK) / (pressurePa / flowParameterPressures[unit]);
}

/** Speed on the sheet over the reduced speed N / sqrt(R T03): a sheet of flow parameters has N / sqrt(T03). */
export function sheetSpeedRoot(draft: MapDraft): number {
  const { temperatureK } = drawingReference(draft);
  return Math.sqrt(REFERENCE_GAS_CONSTANT * (draft.flowParameter === undefined ? temperatureK : 1));
}

/** A row of a table as a place on the map; null when its flow or pressure ratio cannot be read. */
export function pointOf(
  draft: MapDraft,
  row: { flow: string; pressureRatio: string } | undefined,
): FlowAndRatio | null {
  if (row === undefined) return null;
  const flow = parseNumber(row.flow);
  const ratio = parseNumber(row.pressureRatio);
  if (!flow.ok || !ratio.ok || !(flow.value > 0) || !(ratio.value > 0)) return null;
  return {
    correctedMassFlowKgPerS: flow.value / flowPerKgPerS(draft),
    pressureRatio: ratio.value,
  };
}

/** Where on the plot a place of the tables lies: the point, or the middle of the line, island or surge line; null for single values. */
export function placeOnPlot(draft: MapDraft, place: SheetPlace | undefined): FlowAndRatio | null {
  if (place === undefined || place.part === 'reference' || place.part === 'limits' || place.part === 'wheel')
    return null;
  const rows =
    place.part === 'surge-line'
      ? draft.surgeLine
      : place.part === 'island'
        ? draft.islands[place.island]?.points
        : draft.speedLines[place.line]?.points;
  if (rows === undefined || rows.length === 0) return null;
  return pointOf(draft, rows[place.point ?? rows.length >> 1]);
}
