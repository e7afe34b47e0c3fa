import { useDeferredValue, useMemo } from 'react';
import { isTurbineSheet, type MapDraft } from '../../../build/index.ts';
import type { QualityCard } from '../../../compressor/reading/index.ts';
import type { SheetFit } from '../model/sheetFit.ts';
import { axisPlace, pointName, readAxes } from './model/axes.ts';
import { gridLines, traceLines, tracePoints } from './model/traceLines.ts';
import { tracingOf } from './model/tracing.ts';
import type { TraceStep } from './panels/StepTabs.tsx';
import type { StageLine, StagePoint } from './stage/stageTypes.ts';
import { pointOfPlace, type Tracing } from './useTracing.ts';

export interface StageMarksInput {
  draft: MapDraft;
  fit: SheetFit;
  step: TraceStep;
  trace: Tracing;
  card: QualityCard | null;
  shows: { fitted: boolean; grid: boolean };
}

/** What lies over the picture in each step. Points follow at once; fitted lines as soon as they are worked out. */
export function useStageMarks({ draft, fit, step, trace, card, shows }: StageMarksInput) {
  const { target, proposal } = trace;
  const { calibration } = readAxes(draft);
  const shown = useDeferredValue(draft);
  const doubtful = useMemo(() => doubtfulPoints(fit, card), [fit, card]);
  const points = useMemo((): StagePoint[] => {
    if (step === 'picture') return [];
    if (step === 'axes') return axisPoints(draft);
    const proposed = (proposal?.places ?? []).map(
      (place, i): StagePoint => ({
        id: `proposed ${i}`,
        place,
        look: 'proposed',
        name: 'Proposed point',
        isFixed: true,
      }),
    );
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
  const sheet = isTurbineSheet(draft) ? 'turbine' : 'compressor';
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
