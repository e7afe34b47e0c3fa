import { useDeferredValue, useMemo } from 'react';
import {
  type DraftFit,
  isTurbineSheet,
  lineSpeed,
  type MapDraft,
  mapGeometry,
  type TurbineDraftFit,
} from '../../../build/index.ts';
import type { FlowAndRatio } from '../../../compressor/index.ts';
import { type Calibration, checkGrid, niceSteps, type PicturePlace, type QualityCard } from '../../../reading/index.ts';
import { kgPerSToSheetFlow, parseNumber } from '../../../units/index.ts';
import { drawingReference, flowPerKgPerS } from '../editDraft.ts';
import { viewOf } from '../sheetKinds/kinds.ts';
import type { SheetFit } from '../sheetKinds/sheetKind.ts';
import { flowUnitLabel } from '../sheetKinds/sheetKind.ts';
import { capacityCurves } from '../sheetKinds/turbine.tsx';
import { axisPlace, pointName, ratiosOf, readAxes, sheetKind, tracingOf } from './axes.ts';
import type { StageLine, StagePoint } from './stage/stageView.ts';
import type { TraceStep } from './TraceView.tsx';
import {
  allTargets,
  isClosed,
  placedRows,
  pointId,
  pointOfPlace,
  sameTarget,
  type Target,
  targetName,
  targetRows,
} from './tracePoints.ts';
import type { Tracing } from './useTracing.ts';

/** What lies over the picture in each step. Points follow at once; fitted lines as soon as they are worked out. */
export function useStageMarks(input: {
  draft: MapDraft;
  fit: SheetFit;
  step: TraceStep;
  trace: Tracing;
  card: QualityCard | null;
  shows: { fitted: boolean; grid: boolean };
}) {
  const { draft, fit, step, card, shows } = input;
  const { target, proposal } = input.trace;
  const { calibration } = readAxes(draft);
  const shown = useDeferredValue(draft);
  const doubtful = useMemo(() => doubtfulPoints(fit, card), [fit, card]);
  const points = useMemo((): StagePoint[] => {
    if (step === 'picture') return [];
    if (step === 'axes') return axisPoints(draft);
    const proposed = (proposal?.places ?? []).map((place, i): StagePoint => {
      return { id: `proposed ${i}`, place, look: 'proposed', name: 'Proposed point', isFixed: true };
    });
    return [...tracePoints(draft, target, { doubtful, isTracing: step === 'trace' }), ...proposed];
  }, [draft, step, target, proposal, doubtful]);
  const lines = useMemo((): StageLine[] => {
    if (calibration === null || step === 'picture') return [];
    if (step === 'axes') return shows.grid ? gridLines(shown, calibration) : [];
    const proposed: StageLine[] =
      proposal === null ? [] : [{ id: 'proposal', places: proposal.places, look: 'proposed' }];
    return [...traceLines(shown, fit, calibration, { current: target, withFit: shows.fitted }), ...proposed];
  }, [calibration, step, shows.grid, shows.fitted, shown, fit, target, proposal]);
  return { points, lines };
}

function axisPoints(draft: MapDraft): StagePoint[] {
  const { axes } = tracingOf(draft);
  const sheet = sheetKind(draft);
  return axes.points.flatMap((point, row): StagePoint[] => {
    const place = axisPlace(point);
    return place === null ? [] : [{ id: String(row), place, look: 'axis', name: pointName(axes, row, sheet) }];
  });
}

/** Points that the audit or the quality card names, by their ids on the stage. */
function doubtfulPoints(fit: SheetFit, card: QualityCard | null): ReadonlySet<string> {
  const named = fit.findings.flatMap((f) =>
    f.severity === 'note' || f.place === undefined ? [] : (pointOfPlace(f.place) ?? []),
  );
  const suspicious = (card?.suspicious ?? []).flatMap((s) => pointOfPlace(s.place) ?? []);
  return new Set([...named, ...suspicious]);
}

/**
 * All traced points. While something is traced only its own points can be gripped: others lie in the way where lines cross.
 */
export function tracePoints(
  draft: MapDraft,
  current: Target | null,
  { doubtful, isTracing }: { doubtful: ReadonlySet<string>; isTracing: boolean },
): StagePoint[] {
  const targets = allTargets(draft);
  const ordered = targets.filter((t) => !sameTarget(t, current));
  const own = targets.filter((t) => sameTarget(t, current));
  return [...ordered, ...own].flatMap((target) => {
    const isCurrent = own.includes(target);
    const rows = targetRows(draft, target);
    return placedRows(draft, target).map(({ row, place }): StagePoint => {
      const id = pointId(target, row);
      const cells = rows[row];
      const efficiency = cells?.efficiency ? `, efficiency ${cells.efficiency}` : '';
      return {
        id,
        place,
        look: target.kind === 'readings' ? 'reading' : isCurrent ? 'current' : 'other',
        name: `Point ${row + 1} of ${targetName(draft, target)}: flow ${cells?.flow} ${flowUnitLabel(draft)}, ${viewOf(draft).ratio.toLowerCase()} ${cells?.pressureRatio}${efficiency}`,
        isDoubtful: doubtful.has(id),
        isFixed: isTracing && !isCurrent,
      };
    });
  });
}

/** The lines through the points: as the surface has them where it is fitted, else from point to point. */
export function traceLines(
  draft: MapDraft,
  fit: SheetFit,
  calibration: Calibration,
  options: { current: Target | null; withFit: boolean },
): StageLine[] {
  const fitted =
    fit.kind === 'turbine' ? fittedCapacity(draft, fit, calibration) : fittedLines(draft, fit, calibration);
  const entered = allTargets(draft).flatMap((target): StageLine[] => {
    if (target.kind === 'readings') return [];
    const isCurrent = sameTarget(target, options.current);
    const places = placedRows(draft, target).map(({ place }) => place);
    const curve = fittedCurve(draft, target);
    const isFitted = curve !== null && fitted.some((line) => line.curve === curve);
    // One line through the same points is enough: the fitted one says more.
    if (places.length < 2 || (isFitted && options.withFit)) return [];
    const look = isCurrent ? 'current' : target.kind === 'surge-line' ? 'surge' : 'other';
    return [{ id: `entered ${JSON.stringify(target)}`, places, look, closed: isClosed(draft, target) }];
  });
  if (!options.withFit) return entered;
  const current = options.current === null ? null : fittedCurve(draft, options.current);
  return [
    ...entered,
    ...fitted.map((line) =>
      current !== null && line.curve === current ? { ...line, look: 'current' as const } : line,
    ),
  ];
}

/** Which fitted curve stands for the target; null: none of its own. */
function fittedCurve(draft: MapDraft, target: Target): string | null {
  if (isTurbineSheet(draft)) return target.kind === 'speed-line' ? capacityCurve(draft, target.line) : null;
  if (target.kind === 'surge-line') return draft.surgeLine.length > 1 ? 'surge' : null;
  if (target.kind === 'island') {
    const value = parseNumber(draft.islands[target.island]?.efficiency ?? '');
    return value.ok ? `island ${draft.efficiencyUnit === '%' ? value.value / 100 : value.value}` : null;
  }
  const line = target.kind === 'speed-line' ? draft.speedLines[target.line] : undefined;
  const speed = line === undefined ? null : lineSpeed(line.speed, draft.habits);
  return speed?.ok === true ? String(speed.rpm) : null;
}

function fittedLines(draft: MapDraft, { surface, sheet }: DraftFit, calibration: Calibration): StageLine[] {
  if (surface === null || sheet === null) return [];
  const geometry = mapGeometry(surface, sheet);
  const reference = drawingReference(draft);
  const ratios = ratiosOf(draft);
  const drawn = (points: readonly FlowAndRatio[]): PicturePlace[] =>
    points.flatMap(({ correctedMassFlowKgPerS, pressureRatio }) => {
      const flow = kgPerSToSheetFlow(correctedMassFlowKgPerS, draft.flowUnit, reference);
      const printed = ratios.toPrinted(flow, pressureRatio);
      return printed === null ? [] : (calibration.toPicture({ flow, pressureRatio: printed }) ?? []);
    });
  const line = (
    curve: string,
    points: readonly FlowAndRatio[],
    look: StageLine['look'],
    more: { closed?: boolean; ring?: number } = {},
  ): StageLine => {
    const id = more.ring === undefined ? `fitted ${curve}` : `fitted ${curve} ${more.ring}`;
    return { id, curve, places: drawn(points), look, closed: more.closed };
  };
  return [
    ...geometry.speedLines
      .filter(({ entered }) => entered)
      .map((speed) => line(String(speed.correctedSpeedRpm), speed.line.points, 'fitted')),
    ...geometry.surgeLine.filter(({ extended }) => !extended).map(({ points }) => line('surge', points, 'surge')),
    ...geometry.islands.flatMap(({ efficiency, rings }) =>
      rings.map(({ points, closed }, ring) => line(`island ${efficiency}`, points, 'fitted-island', { closed, ring })),
    ),
  ];
}

/** The capacity curves through the entered points; beyond them nothing was read. */
function fittedCapacity(draft: MapDraft, fit: TurbineDraftFit, calibration: Calibration): StageLine[] {
  const perKgPerS = flowPerKgPerS(draft);
  return capacityCurves(draft, fit, 1).map(({ speed, pieces }) => ({
    id: `fitted ${speed ?? 'all'}`,
    curve: speed === null ? 'all' : String(Number(speed.toPrecision(6))),
    places: pieces
      .filter(({ extended }) => !extended)
      .flatMap(({ points }) => points)
      .flatMap(
        ({ correctedMassFlowKgPerS, pressureRatio }) =>
          calibration.toPicture({ flow: correctedMassFlowKgPerS * perKgPerS, pressureRatio }) ?? [],
      ),
    look: 'fitted',
  }));
}

/** By which a line's own curve is known: its speed, or 'all' for a line that is alone. null: one curve stands for several lines. */
function capacityCurve({ speedLines, habits }: MapDraft, line: number): string | null {
  const speeds = speedLines.map(({ speed, points }) =>
    points.some((p) => p.flow.trim() !== '') ? lineSpeed(speed, habits) : null,
  );
  const own = speeds[line];
  const isPooled = speeds.some((speed) => speed !== null && !speed.ok);
  if (isPooled || !own?.ok) return speeds.filter((speed) => speed !== null).length > 1 ? null : 'all';
  return String(Number(own.rpm.toPrecision(6)));
}

/** The check grid over the calibrated ranges, at round steps. */
function gridLines(draft: MapDraft, calibration: Calibration): StageLine[] {
  const steps = (of: 'flow' | 'pressureRatio') => {
    const values = tracingOf(draft)
      .axes.points.map((p) => parseNumber(p[of]))
      .flatMap((p) => (p.ok ? p.value : []));
    return niceSteps(Math.min(...values), Math.max(...values));
  };
  const flow = steps('flow');
  const ratio = steps('pressureRatio');
  if (flow === null || ratio === null) return [];
  return checkGrid(calibration, flow, ratio).map(({ of, value, points: places }) => ({
    id: `${of} ${value}`,
    places,
    look: 'grid',
    label: String(value),
  }));
}
