import { useMemo } from 'react';
import { daySpeedFactor, mapGeometry, speedLineAt } from '../../../build/index.ts';
import type { FlowAndRatio } from '../../../compressor/index.ts';
import { type SpreadDone, showResult } from '../../../match/index.ts';
import type { MapChart, MapPlotModel, PlotOperatingLine, PlotSpread } from '../../../plot/index.ts';
import {
  type CandidateResults,
  isSameSpread,
  otherAltitudeLines,
  selectActiveBuild,
  selectDayAir,
  useLugline,
  useSettings,
} from '../../../store/index.ts';
import { formatQuantity, parseQuantity } from '../../../units/index.ts';
import { useResultUnits } from '../../shared/display.ts';
import type { FindingWords } from '../../shared/findingWords.ts';
import { mapChart, mapPlaces, operatingLine, speedLabels, withoutMarks } from '../../shared/mapDrawing.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import type { ReadMap } from './readOut.ts';

/** Of N / Nc for the line of the speed limit: a two-thousandth moves it by less than half a pixel, and need not be drawn again. */
const FACTOR_STEPS = 2000;

export interface MapOfDay {
  /** null: no map, or none that can be fitted. */
  chart: MapChart | null;
  read: ReadMap | null;
}

/** The candidate's map as it stands on the day: labels and limit in shaft speeds of the day's inlet temperature. */
export function useMapOfDay(results: CandidateResults): MapOfDay {
  const { surface, sheet } = results;
  const { flowAxisUnit, speedLabels: speedLabelChoice } = useSettings();
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
      limit: limitRpm === null ? null : { rpm: limitRpm, pieces },
    });
  }, [geometry, limitRpm, pieces, flowAxisUnit, labels, labelText, inletTemperature]);
  const read = useMemo(
    () => (surface === null ? null : { surface, speedFactor: factor, limitRpm }),
    [surface, factor, limitRpm],
  );
  return { chart, read };
}

/** The whole model of the plot; every part stays the same object while what it shows is the same. */
export function useMapModel(
  results: CandidateResults,
  index: number,
  chart: MapChart | null,
  words: readonly FindingWords[],
  chosenId: string | null,
  focus: FlowAndRatio | null,
): MapPlotModel | null {
  const { candidate, points, findings, input } = results;
  const others = useOtherAltitudes(results, index);
  const spread = useSpreadBars(index);
  const operatingLines = useMemo(() => {
    if (points.length === 0) return [];
    const name = `${candidateLetter(index)}: ${candidate.name}`;
    const style = index % 2 === 0 ? 'a' : 'b';
    return [...others, { ...operatingLine(candidate.id, name, style, points, findings, input), spread }];
  }, [candidate.id, candidate.name, index, points, findings, input, others, spread]);
  const places = useMemo(() => mapPlaces(words, points, chosenId), [words, points, chosenId]);
  return useMemo(
    () => (chart === null ? null : { chart, operatingLines, places, focus }),
    [chart, operatingLines, places, focus],
  );
}

const NONE: readonly PlotOperatingLine[] = [];

/** Faint lines of other altitudes, where they are asked for. */
export function useOtherAltitudes(results: CandidateResults, index: number): readonly PlotOperatingLine[] {
  const isShown = useLugline((state) => state.workspace.settings.otherAltitudes === true);
  const build = useLugline((state) => (isShown ? selectActiveBuild(state) : null));
  const { input } = results;
  return useMemo(() => {
    if (build === null || input === null) return NONE;
    const { text, unit } = build.air.altitude;
    const day = parseQuantity(text, 'altitude', unit);
    const shown = build.altitudes.from.unit === 'ft' ? 'ft' : 'm';
    return otherAltitudeLines(build, input, day.ok ? day.si : null).map(({ altitudeM, points }) => ({
      ...withoutMarks(operatingLine(`altitude-${altitudeM}`, '', index % 2 === 0 ? 'a' : 'b', points, [])),
      name: formatQuantity(altitudeM, 'altitude', shown),
      faint: true,
    }));
  }, [build, input, index]);
}

/** Bars of the spread on the operating line, while it is one of the present inputs. */
export function useSpreadBars(index: number): readonly PlotSpread[] | undefined {
  const spread = useLugline((state) => {
    const { result } = state.studies.spread;
    const isOfThese = result?.candidateIndex === index && isSameSpread(result.build, selectActiveBuild(state));
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
