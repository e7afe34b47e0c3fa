import type { DraftCell2, DraftCell3, DraftLine, MapDraft } from '../../../build/index.ts';
import { parseNumber, plainNumber } from '../../../units/index.ts';
import { sortAlong } from '../sortAlong.ts';

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

/** The surge line made of the first point of every line, in rising speed: a start where the sheet draws none. */
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
  return { ...draft, surgeLine: points };
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
