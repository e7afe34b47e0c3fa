import { useMemo } from 'react';
import { daySpeedFactor, mapGeometry, speedLineAt } from '../../../build/index.ts';
import { type FlowAndRatio, type ReferenceState, referenceFactors } from '../../../compressor/index.ts';
import { type OperatingPoint, type SpreadDone, showResult } from '../../../match/index.ts';
import {
  type CandidateStyle,
  candidateStyle,
  type MapChart,
  type PlotOperatingLine,
  type PlotSpread,
} from '../../../plot/index.ts';
import {
  type CandidateResults,
  isSameStudy,
  otherAltitudeLines,
  pointAt,
  selectActiveBuild,
  selectDayAir,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { formatQuantity, parseQuantity } from '../../../units/index.ts';
import { candidateLetter, useResultUnits } from '../../shared/display.ts';
import { type FindingWords, findingWords, problemWords } from '../../shared/findingSentences.ts';
import {
  mapChart,
  operatingLine,
  placeOf,
  referredPoint,
  referredResults,
  speedLabels,
  withoutMarks,
} from '../../shared/mapDrawing.ts';
import type { ReadMap } from './readOut.ts';

/** Of N / Nc for the line of the speed limit: a two-thousandth moves it by less than half a pixel, and need not be drawn again. */
const FACTOR_STEPS = 2000;

interface MapOfDay {
  /** null: no map, or none that can be fitted. */
  chart: MapChart | null;
  read: ReadMap | null;
}

/** The candidate's map as it stands on the day: labels and limit in shaft speeds of the day's inlet temperature. */
function useMapOfDay(results: CandidateResults): MapOfDay {
  const { surface, sheet } = results;
  const { flowAxisUnit, speedLabels: speedLabelChoice, several } = useSettings();
  const { air } = useLugline(selectDayAir);
  const units = useResultUnits();
  const factor = air && surface ? daySpeedFactor(air, surface.reference) : null;
  const limitFactor = factor === null ? null : Math.round(factor * FACTOR_STEPS) / FACTOR_STEPS;
  const limitRpm = results.input?.limits.shaftSpeedRpm ?? surface?.limits.shaftSpeedRpm ?? null;
  const inlet = air?.compressorInletTemperatureK ?? null;
  const inletTemperature = inlet === null ? '' : showResult(inlet, 'temperature', units);
  const geometry = surface && sheet ? mapGeometry(surface, sheet) : null;
  const labels = speedLabelChoice === 'physical' && factor !== null ? 'physical' : 'corrected';
  // As one text, so that the chart stays the same object, and is not drawn again, while all labels read the same.
  const labelText = geometry ? speedLabels(geometry, labels === 'physical' ? factor : null).join('|') : '';
  const pieces = useMemo(
    () =>
      surface === null || limitRpm === null || limitFactor === null ? [] : speedLineAt(surface, limitRpm / limitFactor),
    [surface, limitRpm, limitFactor],
  );
  const chart = useMemo(() => {
    if (geometry === null) return null;
    return mapChart(geometry, {
      flowUnit: flowAxisUnit,
      labels,
      speedLabels: labelText.split('|'),
      inletTemperature,
      several,
      limit: limitRpm === null ? null : { rpm: limitRpm, pieces },
    });
  }, [geometry, limitRpm, pieces, flowAxisUnit, labels, labelText, inletTemperature, several]);
  const read = useMemo(
    () => (surface === null ? null : { surface, speedFactor: factor, limitRpm }),
    [surface, factor, limitRpm],
  );
  return { chart, read };
}

/** One candidate as every part of the view shows it, at the engine speed that is looked at. */
export interface Side {
  index: number;
  letter: string;
  style: CandidateStyle;
  results: CandidateResults;
  /** Findings in words, or what is missing; worst first. */
  words: readonly FindingWords[];
  chart: MapChart | null;
  read: ReadMap | null;
  /** The line of the day, and the faint ones of other altitudes under it. */
  lines: readonly PlotOperatingLine[];
  /** The line of the day alone. */
  line: PlotOperatingLine | null;
  /** The operating point of that engine speed, also between the computed ones; null: none is looked at, or there is no input. */
  point: OperatingPoint | null;
  focus: FlowAndRatio | null;
}

/**
 * Everything about one candidate. Parts stay the same objects while what they show is the same.
 * @param reference that its corrected flows and speeds are brought to; null: that of its own map
 */
export function useSide(
  own: CandidateResults,
  index: number,
  reference: ReferenceState | null,
  engineSpeedRpm: number | null,
): Side {
  const results = useMemo(() => referredResults(own, reference), [own, reference]);
  const { candidate, points, findings, problems, input } = results;
  const letter = candidateLetter(index);
  const style = candidateStyle(index);
  const units = useResultUnits();
  const { chart, read } = useMapOfDay(results);
  const hasMap = candidate.map !== null || candidate.donor !== null;
  const words = useMemo(
    () => (problems.length > 0 ? problemWords(problems, hasMap) : findingWords(findings, units, input?.turboCount)),
    [problems, hasMap, findings, units, input?.turboCount],
  );
  const others = useOtherAltitudes(results, index);
  const spread = useSpreadBars(index);
  const lines = useMemo(() => {
    if (points.length === 0) return [];
    const name = `${letter}: ${candidate.name}`;
    const line = operatingLine(candidate.id, name, style, points, findings, input);
    return [...others, { ...line, letter, spread }];
  }, [candidate.id, candidate.name, letter, style, points, findings, input, others, spread]);
  const point = useMemo(() => pointOf(own, results, engineSpeedRpm), [own, results, engineSpeedRpm]);
  const focus = useMemo(() => (point === null ? null : placeOf([point], engineSpeedRpm)), [point, engineSpeedRpm]);
  return { index, letter, style, results, words, chart, read, lines, line: lines.at(-1) ?? null, point, focus };
}

/** Also between the computed engine speeds. */
function pointOf(own: CandidateResults, referred: CandidateResults, rpm: number | null): OperatingPoint | null {
  if (rpm === null || own.input === null) return null;
  const known = referred.points.find((point) => point.engineSpeedRpm === rpm);
  if (known !== undefined) return known;
  const point = pointAt(own.input, rpm);
  if (point === null || own.surface === null || referred.surface === null || own === referred) return point;
  return referredPoint(point, referenceFactors(own.surface.reference, referred.surface.reference));
}

const NONE: readonly PlotOperatingLine[] = [];

/** Faint lines of other altitudes, where they are asked for. */
function useOtherAltitudes(results: CandidateResults, index: number): readonly PlotOperatingLine[] {
  const isShown = useLugline((state) => state.workspace.settings.otherAltitudes === true);
  const build = useLugline((state) => (isShown ? selectActiveBuild(state) : null));
  const { input } = results;
  return useMemo(() => {
    if (build === null || input === null) return NONE;
    const { text, unit } = build.air.altitude;
    const day = parseQuantity(text, 'altitude', unit);
    const shown = build.altitudes.from.unit === 'ft' ? 'ft' : 'm';
    return otherAltitudeLines(build, input, day.ok ? day.si : null).map(({ altitudeM, points }) => ({
      ...withoutMarks(operatingLine(`altitude-${altitudeM}`, '', candidateStyle(index), points, [])),
      name: formatQuantity(altitudeM, 'altitude', shown),
      faint: true,
    }));
  }, [build, input, index]);
}

/** Bars of the spread on the operating line, while it is one of the present inputs. */
function useSpreadBars(index: number): readonly PlotSpread[] | undefined {
  const spread = useLugline((state) => {
    const { result } = state.studies.spread;
    const isOfThese = result?.candidateIndex === index && isSameStudy('spread', result.build, selectActiveBuild(state));
    return isOfThese ? result.spread : null;
  });
  return useMemo(() => spreadBars(spread), [spread]);
}

function spreadBars(spread: SpreadDone | null): readonly PlotSpread[] | undefined {
  return spread?.atSpeeds.flatMap(({ bands: { correctedMassFlowKgPerS: flow, pressureRatio: ratio } }) =>
    flow === null || ratio === null
      ? []
      : [
          {
            correctedMassFlowKgPerS: { low: flow.p10, middle: flow.p50, high: flow.p90 },
            pressureRatio: { low: ratio.p10, middle: ratio.p50, high: ratio.p90 },
          },
        ],
  );
}
