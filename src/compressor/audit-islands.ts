import type { AuditContext } from './audit-context.ts';
import { firstCut, isInside, offsetFrom, type Place } from './audit-context.ts';
import { pathOf } from './audit-lines.ts';
import { efficiencyProblem } from './audit-points.ts';

interface Contour {
  index: number;
  efficiency: number;
  closed: boolean;
  /** Index in the sheet of each place. */
  indices: readonly number[];
  path: readonly Place[];
}

/** Shares of the map: how far a contour may run beyond its edge, and how deep two must cut to be more than reading noise. */
const BEYOND = 0.035;
const DEPTH = 0.012;

/** Efficiency islands: numbers, within the map, not through each other, rightly open or closed. */
export function auditIslands(context: AuditContext): void {
  const contours = (context.sheet.islands ?? []).flatMap((_, i) => contourOf(context, i) ?? []);
  for (const contour of contours) openOrClosed(context, contour);
  const edge = edgeOf(context);
  if (edge) outside(context, contours, edge);
  for (let i = 0; i < contours.length; i++) {
    for (let j = i + 1; j < contours.length; j++) against(context, contours[i]!, contours[j]!);
  }
  hasEfficiency(context);
}

function nameOf(context: AuditContext, contour: { index: number; efficiency: number }): string {
  return `Island ${context.words.efficiency(contour.efficiency)}`;
}

function contourOf(context: AuditContext, index: number): Contour | null {
  const island = context.sheet.islands![index]!;
  const problem = efficiencyProblem(context, island.efficiency);
  const place = { part: 'island', island: index } as const;
  if (problem) context.report(problem.severity, problem.code, `Island ${index + 1}: ${problem.text}`, place);
  const good: { index: number; flow: number; ratio: number }[] = [];
  island.points.forEach((p, i) => {
    if (p.flow > 0 && p.pressureRatio >= 1 && Number.isFinite(p.flow) && Number.isFinite(p.pressureRatio)) {
      good.push({ index: i, flow: p.flow, ratio: p.pressureRatio });
      return;
    }
    const message = `Island ${index + 1}, point ${i + 1}: a flow above zero and a pressure ratio of at least 1 are needed. Enter both or delete the point.`;
    context.report('error', 'island-point-invalid', message, { part: 'island', island: index, point: i });
  });
  if (good.length < 3) {
    const message = `Island ${index + 1} has ${good.length === 1 ? 'only one point' : `${good.length} points`}. Three are the least; more where it bends.`;
    context.report('warning', 'island-short', message, { part: 'island', island: index });
    return null;
  }
  const path = pathOf(context, good);
  return { index, efficiency: island.efficiency, closed: island.closed, indices: good.map((g) => g.index), path };
}

const distance = (a: Place, b: Place): number => Math.hypot(a.x - b.x, a.y - b.y);

function openOrClosed(context: AuditContext, contour: Contour): void {
  const { path } = contour;
  if (path.length < 4) return;
  const steps = path.slice(1).map((p, i) => distance(path[i]!, p));
  const gap = distance(path[0]!, path.at(-1)!);
  const longest = Math.max(...steps);
  const place = { part: 'island', island: contour.index } as const;
  if (contour.closed && gap > 3 * longest && gap > 0.15) {
    const message = `${nameOf(context, contour)} is marked closed, but its first and last points lie far apart. Mark it open if it runs off the map, or enter the missing points.`;
    context.report('warning', 'island-probably-open', message, place);
  }
  if (!contour.closed && gap < 0.01 && Math.max(...path.map((p) => distance(path[0]!, p))) > 0.05) {
    const message = `${nameOf(context, contour)} is marked open, but it ends where it began. Mark it closed.`;
    context.report('warning', 'island-probably-closed', message, place);
  }
}

/** The map's edge: up the surge ends, along the top line, down the choke ends, back along the lowest line. */
function edgeOf(context: AuditContext): Place[] | null {
  const { rising } = context;
  if (rising.length < 2) return null;
  const inner = rising.slice(1, -1);
  return pathOf(context, [
    ...[...rising[0]!.ordered].reverse(),
    ...inner.map((l) => l.ordered[0]!),
    ...rising.at(-1)!.ordered,
    ...[...inner].reverse().map((l) => l.ordered.at(-1)!),
  ]);
}

function outside(context: AuditContext, contours: readonly Contour[], edge: readonly Place[]): void {
  const ring = [...edge, edge[0]!];
  let worst: { by: number; contour: Contour; at: number } | null = null;
  const islands = new Set<number>();
  for (const contour of contours) {
    contour.path.forEach((place, at) => {
      if (isInside(edge, place)) return;
      const by = Math.abs(offsetFrom(ring, place).distance);
      if (by <= BEYOND) return;
      islands.add(contour.index);
      if (worst === null || by > worst.by) worst = { by, contour, at };
    });
  }
  if (worst !== null) reportOutside(context, worst, islands.size);
}

function reportOutside(context: AuditContext, worst: { contour: Contour; at: number }, islands: number): void {
  const { contour } = worst;
  const point = contour.indices[worst.at]!;
  const p = context.sheet.islands![contour.index]!.points[point]!;
  const { words } = context;
  const more = islands === 1 ? '' : ` (${islands} islands reach outside)`;
  const message = `${nameOf(context, contour)}: its point at ${words.flow(p.flow)}, pressure ratio ${words.ratio(p.pressureRatio)} lies outside the speed lines${more}. Check it, or the lines there.`;
  context.report('warning', 'island-outside', message, { part: 'island', island: contour.index, point });
}

function against(context: AuditContext, one: Contour, other: Contour): void {
  if (one.efficiency === other.efficiency) return;
  const low = one.efficiency < other.efficiency ? one : other;
  const high = low === one ? other : one;
  const lowPath = ringOf(low);
  const highPath = ringOf(high);
  const cut = firstCut(highPath, lowPath);
  const { words, scale } = context;
  if (cut) {
    if (!cutsDeep(high.path, lowPath)) return;
    const at = `${words.flow(cut.x * scale.flow)}, pressure ratio ${words.ratio(1 + cut.y * scale.ratio)}`;
    const message = `${nameOf(context, high)} crosses the lower island ${words.efficiency(low.efficiency)}, near ${at}. Contours of different efficiency never meet: check both there.`;
    context.report('warning', 'islands-cross', message, { part: 'island', island: high.index });
  } else if (high.closed && low.closed && low.path.every((p) => isInside(high.path, p))) {
    const message = `${nameOf(context, low)} lies inside island ${words.efficiency(high.efficiency)}. The higher efficiency belongs inside: the two values may be swapped.`;
    context.report('warning', 'islands-swapped', message, { part: 'island', island: low.index });
  }
}

function ringOf(contour: Contour): readonly Place[] {
  return contour.closed ? [...contour.path, contour.path[0]!] : contour.path;
}

function cutsDeep(path: readonly Place[], other: readonly Place[]): boolean {
  let left = 0;
  let right = 0;
  for (const place of path) {
    const { distance: d, beside } = offsetFrom(other, place);
    if (!beside) continue;
    left = Math.max(left, d);
    right = Math.max(right, -d);
  }
  return left > DEPTH && right > DEPTH;
}

function hasEfficiency(context: AuditContext): void {
  const { sheet } = context;
  if (sheet.islands && sheet.islands.length > 0) return;
  if (sheet.speedLines.some((l) => l.points.some((p) => p.efficiency !== undefined))) return;
  const message =
    'No efficiency anywhere: the map gives shaft speed and margins, but outlet temperature and compressor power only with an efficiency you assume. Enter islands or the efficiency at points.';
  context.report('note', 'no-efficiency', message);
}
