import type { Build } from '../../../build/index.ts';
import type { HeldGoal } from '../../../match/index.ts';
import type { LineChartModel, LineLimit } from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { formatNumber } from '../../../units/index.ts';
import { altitudeUnit, altitudeValue } from '../../shared/altitudeStudies.ts';

type Solved = Extract<HeldGoal['cells'][number][number]['point'], { status: 'ok' }>;

/** One value over the altitudes at an engine speed. */
export function overAltitude(build: Build, held: HeldGoal, rpm: number, read: (point: Solved) => number) {
  const column = held.engineSpeedsRpm.indexOf(rpm);
  const unit = altitudeUnit(build);
  return held.places.map((place, row) => {
    const point = held.cells[row]?.[column]?.point;
    if (point?.status !== 'ok' || place.altitudeM === null) return null;
    return { x: altitudeValue(place.altitudeM, unit), value: read(point) };
  });
}

export function altitudeAxis(build: Build, places: HeldGoal['places']): LineChartModel['xAxis'] {
  const unit = altitudeUnit(build);
  const altitudes = places.flatMap(({ altitudeM }) => (altitudeM === null ? [] : [altitudeValue(altitudeM, unit)]));
  return { title: 'Altitude', unit, decimals: 0, min: Math.min(...altitudes), max: Math.max(...altitudes) };
}

/** The maker's limit, and the same less the reserve, which is what counts. */
export function shaftLimits({ held }: Pick<CandidateStudy, 'held'>, letter: string): LineLimit[] {
  const { shaftSpeedRpm, shaftSpeedReserve = 0 } = held.limits;
  if (shaftSpeedRpm === undefined) return [];
  const kept = shaftSpeedRpm * (1 - shaftSpeedReserve);
  const limit: LineLimit = {
    label: `${letter} limit ${formatNumber(shaftSpeedRpm, 0)}`,
    value: shaftSpeedRpm,
    severity: 'stop',
  };
  if (shaftSpeedReserve === 0) return [limit];
  const reserve = formatNumber(
    shaftSpeedReserve * 100,
    shaftSpeedReserve * 100 === Math.round(shaftSpeedReserve * 100) ? 0 : 1,
  );
  return [limit, { label: `${letter} less ${reserve} % reserve`, value: kept, severity: 'caution' }];
}
