import type { Build } from '../../../build/index.ts';
import { BINDING_KINDS, bindingKind } from '../../../match/index.ts';
import type { FieldChartModel } from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { altitudeUnit, altitudeValue } from '../../shared/altitudeStudies.ts';
import { nearestIndex, type Pointed, readAltitudeM } from './pointed.ts';

export type BindingField = Omit<FieldChartModel, 'focus'>;

/** Which limit holds the boost down, over engine speed and altitude; outlined where the goal asks for more than is allowed or driven. */
export function bindingField(build: Build, { field, held }: CandidateStudy): BindingField {
  const unit = altitudeUnit(build);
  const isOver = field.cells.map((row, p) =>
    row.map((_, k) => {
      const cell = held.cells[p]?.[k];
      return cell !== undefined && cell.crossed !== null && cell.crossed !== 'no-compression';
    }),
  );
  const isUndriven = held.cells.some((row) =>
    row.some(({ crossed }) => crossed !== null && bindingKind(crossed) === 'turbine'),
  );
  return {
    xAxis: { title: 'Engine speed', unit: 'rpm', decimals: 0 },
    yAxis: { title: 'Altitude', unit, decimals: 0 },
    xs: field.engineSpeedsRpm,
    ys: field.places.map((place) => altitudeValue(place.altitudeM ?? 0, unit)),
    cells: field.cells.map((row) => row.map((cell) => bindingKind(cell.binding))),
    kinds: BINDING_KINDS,
    marked: isOver.some((row) => row.some(Boolean))
      ? { cells: isOver, label: isUndriven ? 'the goal is over a limit or not reached' : 'the goal is over a limit' }
      : null,
  };
}

export function fieldWithPointed(field: BindingField, study: CandidateStudy, pointed: Pointed): FieldChartModel {
  const { engineSpeedRpm } = pointed;
  const altitudeM = readAltitudeM(study.field.places, pointed);
  if (engineSpeedRpm === null || altitudeM === null) return { ...field, focus: null };
  const x = field.xs[nearestIndex(field.xs, engineSpeedRpm)];
  const row = nearestIndex(
    study.field.places.map((place) => place.altitudeM),
    altitudeM,
  );
  const y = field.ys[row];
  return { ...field, focus: x === undefined || y === undefined ? null : { x, y } };
}
