import { emptyTracing, isTurbineSheet, type MapDraft, type MapTracing } from '../../../../build/index.ts';

const [flow1, flow2, ratio1, ratio2] = emptyTracing.axes.points;

/** The axis that runs across comes first, as one reads. */
const emptyTurbineTracing: MapTracing = {
  ...emptyTracing,
  axes: { ...emptyTracing.axes, points: [ratio1!, ratio2!, flow1!, flow2!] },
};

/** A sheet of that kind that was never traced, about to be. */
export function emptyTracingOf(draft: Pick<MapDraft, 'kind'>): MapTracing {
  return isTurbineSheet(draft) ? emptyTurbineTracing : emptyTracing;
}

export function tracingOf(draft: Pick<MapDraft, 'kind' | 'tracing'>): MapTracing {
  return draft.tracing ?? emptyTracingOf(draft);
}

export function withTracing(draft: MapDraft, changed: Partial<MapTracing>): MapDraft {
  return { ...draft, tracing: { ...tracingOf(draft), ...changed } };
}
