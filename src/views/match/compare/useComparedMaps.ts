import { useMemo, useRef } from 'react';
import { type FlowAndRatio, type ReferenceState, referenceFactors } from '../../../compressor/index.ts';
import type { OperatingPoint } from '../../../match/index.ts';
import {
  type CandidateStyle,
  type MapChart,
  type PlotExtent,
  type PlotOperatingLine,
  sharedAxes,
} from '../../../plot/index.ts';
import { type CandidateResults, pointAt } from '../../../store/index.ts';
import { candidateLetter } from '../../shared/candidateLetter.ts';
import { operatingLine } from '../../shared/operatingLine.ts';
import { referredPoint, referredResults } from '../../shared/referredResults.ts';
import { placeOf } from '../model/mapPlaces.ts';
import type { ReadMap } from '../model/readOut.ts';
import { useMapOfDay } from '../results/useMapModel.ts';

/** One of two candidates as it is drawn beside or over the other: at the reference state of the first one's map. */
export interface ComparedMap {
  index: number;
  letter: string;
  style: CandidateStyle;
  /** Points at the common reference state. */
  results: CandidateResults;
  chart: MapChart | null;
  read: ReadMap | null;
  lines: readonly PlotOperatingLine[];
  /** The operating point of the engine speed that is looked at; null: none is, or it has no input. */
  point: OperatingPoint | null;
  focus: FlowAndRatio | null;
}

/** Everything about one side. Parts stay the same objects while what they show is the same. */
export function useComparedMap(
  own: CandidateResults,
  index: number,
  style: CandidateStyle,
  reference: ReferenceState | null,
  engineSpeedRpm: number | null,
): ComparedMap {
  const results = useMemo(() => referredResults(own, reference), [own, reference]);
  const letter = candidateLetter(index);
  const { chart, read } = useMapOfDay(results);
  const { candidate, points, findings, input } = results;
  const lines = useMemo(
    () =>
      points.length === 0
        ? []
        : [{ ...operatingLine(candidate.id, `${letter}: ${candidate.name}`, style, points, findings, input), letter }],
    [candidate.id, candidate.name, letter, style, points, findings, input],
  );
  const point = useMemo(() => pointOf(own, results, engineSpeedRpm), [own, results, engineSpeedRpm]);
  const focus = useMemo(() => (point === null ? null : placeOf([point], engineSpeedRpm)), [point, engineSpeedRpm]);
  return { index, letter, style, results, chart, read, lines, point, focus };
}

/** Also between the computed engine speeds. */
function pointOf(own: CandidateResults, referred: CandidateResults, rpm: number | null): OperatingPoint | null {
  if (rpm === null || own.input === null) return null;
  const known = referred.points.find((point) => point.engineSpeedRpm === rpm);
  if (known !== undefined) return known;
  const point = pointAt(own.input, rpm);
  if (point === null || own.surface === null || referred.surface === null) return point;
  return referredPoint(point, referenceFactors(own.surface.reference, referred.surface.reference));
}

/** The axes that hold both; the same object while they are the same. null while neither has a map. */
export function useSharedAxes(first: ComparedMap, second: ComparedMap): PlotExtent | null {
  const last = useRef<{ key: string; axes: PlotExtent } | null>(null);
  const models = [first, second].flatMap(({ chart, lines }) =>
    chart === null ? [] : [{ chart, operatingLines: lines }],
  );
  if (models.length === 0) return null;
  const axes = sharedAxes(models);
  const key = JSON.stringify(axes);
  if (last.current?.key !== key) last.current = { key, axes };
  return last.current.axes;
}
