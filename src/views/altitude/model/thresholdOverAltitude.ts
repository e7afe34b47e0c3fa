import type { Build } from '../../../build/index.ts';
import { type BoostThreshold, boostThreshold } from '../../../match/index.ts';
import type { LineChartModel, LineSeries } from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { altitudeText, altitudeUnit, altitudeValue, rpmText } from '../../shared/altitudeStudies.ts';
import { candidateLetter } from '../../shared/provenance.ts';
import { altitudeAxis } from './shaftOverAltitude.ts';

/** Engine speeds are said to this, rpm: the threshold lies somewhere in the step between two of them. */
const ROUNDED_TO = 50;

type Threshold = BoostThreshold | null;

/** Boost threshold of the goal at each altitude; null where no turbine is known. */
function thresholds({ held }: CandidateStudy): Threshold[] {
  return held.cells.map((row) => boostThreshold(row.map(({ point }) => point)));
}

/** From which engine speed the exhaust drives the goal, over altitude, for each candidate; no line where it is under or over all of them. */
export function thresholdOverAltitude(
  build: Build,
  candidates: readonly (CandidateStudy | null)[],
): Omit<LineChartModel, 'focusX' | 'focusSeriesId'> {
  const unit = altitudeUnit(build);
  const seriesOf = (study: CandidateStudy, index: number): LineSeries => {
    const all = thresholds(study);
    return {
      id: candidateLetter(index),
      name: candidateLetter(index),
      style: index % 2 === 0 ? 'a' : 'b',
      weight: 'main',
      points: study.held.places.map(({ altitudeM }, row) => {
        const threshold = all[row];
        if (threshold?.status !== 'found' || altitudeM === null) return null;
        return { x: altitudeValue(altitudeM, unit), value: threshold.engineSpeedRpm };
      }),
    };
  };
  return {
    xAxis: altitudeAxis(build, candidates.find((study) => study !== null)?.held.places ?? []),
    valueAxis: { title: 'Boost threshold, engine speed', unit: 'rpm', decimals: 0, include: [] },
    bands: [],
    series: candidates.flatMap((study, index) => (study === null ? [] : [seriesOf(study, index)])),
    limits: [],
    names: 'end',
  };
}

/** 'Boost threshold of this goal: 2,700 rpm at 0 m, 2,850 rpm at 3,000 m.' null where no turbine is known. */
export function thresholdWords(build: Build, study: CandidateStudy): string | null {
  const unit = altitudeUnit(build);
  const all = thresholds(study);
  const low = all[0];
  const high = all.at(-1);
  if (!low || !high) return null;
  const at = (row: number) => altitudeText(study.held.places.at(row)?.altitudeM ?? null, unit);
  const [here, there] = [said(low), said(high)];
  const words = here === there ? `${here}, from ${at(0)} to ${at(-1)}` : `${here} at ${at(0)}, ${there} at ${at(-1)}`;
  return `Boost threshold of this goal: ${words}.`;
}

function said(threshold: BoostThreshold): string {
  const { status, engineSpeedRpm } = threshold;
  if (status === 'found') return `about ${rpmText(Math.round(engineSpeedRpm / ROUNDED_TO) * ROUNDED_TO)}`;
  return status === 'below' ? `at or below ${rpmText(engineSpeedRpm)}` : `not reached up to ${rpmText(engineSpeedRpm)}`;
}
