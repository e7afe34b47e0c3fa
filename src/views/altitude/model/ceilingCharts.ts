import type { Build } from '../../../build/index.ts';
import { BINDING_KINDS, bindingKind, type Place, type SpreadDone } from '../../../match/index.ts';
import { nearestIndex } from '../../../numerics/index.ts';
import type { FieldChartModel, LineBand, LineChartModel, LineSeries, StandingLines } from '../../../plot/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { altitudeUnit, altitudeValue, gateOpenShown, placeName, tunerPressure } from '../../shared/altitudeStudies.ts';
import { goalPressurePa, nearestPlace, type Pointed, readAltitudeM } from './pointed.ts';

/** More lines than this on one chart cannot be told apart; the field and the table have them all. */
const MOST_LINES = 10;

export const seriesId = (row: number) => `place-${row}`;

/** Ceilings over engine speed: one line a place, palest at the lowest, saved places dashed, the lowest that an open gate leaves, and the goal; the lowest and the highest are named. */
export function ceilingsChart(build: Build, study: CandidateStudy, goalAltitudeM: number): StandingLines {
  const { ceilings } = study;
  const pressure = tunerPressure(build);
  const unit = altitudeUnit(build);
  const shown = shownRows(ceilings.places);
  const heights = shown.map((row) => ceilings.places[row]?.altitudeM ?? 0);
  const lowest = Math.min(...heights);
  const highest = Math.max(...heights);
  const series = shown.map((row): LineSeries => {
    const place = ceilings.places[row]!;
    return {
      id: seriesId(row),
      name: placeName(place, unit),
      style: place.name === '' ? 'plain' : 'dashed',
      weight: 'second',
      namedWhenPointed: place.altitudeM !== lowest && place.altitudeM !== highest,
      shade: highest > lowest ? ((place.altitudeM ?? 0) - lowest) / (highest - lowest) : 1,
      points: (ceilings.cells[row] ?? []).map((cell) =>
        cell.status === 'ok'
          ? { x: cell.engineSpeedRpm, value: pressure.value(cell.manifoldPressurePa, place.ambient.pressurePa) }
          : null,
      ),
    };
  });
  return {
    xAxis: speedAxis(ceilings.engineSpeedsRpm),
    valueAxis: pressureAxis(pressure),
    series: [...series, ...gateOpenSeries(build, study, goalAltitudeM), goalSeries(build, study, goalAltitudeM)],
    names: 'end',
  };
}

/** One decimal more than the table: the chart is read, the table is set. Boost below 0 is no boost. */
function pressureAxis(pressure: ReturnType<typeof tunerPressure>): LineChartModel['valueAxis'] {
  const { title, label, decimals, kind } = pressure;
  const isGauge = kind === 'gauge';
  return { title, unit: label, decimals: decimals + 1, include: isGauge ? [0] : [], bounds: isGauge ? { low: 0 } : {} };
}

export function speedAxis(speeds: readonly number[]): LineChartModel['xAxis'] {
  return { title: 'Engine speed', unit: 'rpm', decimals: 0, min: speeds[0] ?? 0, max: speeds.at(-1) ?? 1 };
}

/** All rows, or evenly picked ones where they are too many. */
function shownRows(places: readonly Place[]): number[] {
  const all = places.map((_, row) => row);
  if (all.length <= MOST_LINES) return all;
  const step = (all.length - 1) / (MOST_LINES - 1);
  return Array.from({ length: MOST_LINES }, (_, i) => Math.round(i * step));
}

/** The lowest boost that can be held at an altitude, where the gate is known to be too small for something. */
function gateOpenSeries(build: Build, study: CandidateStudy, altitudeM: number): LineSeries[] {
  const { places, engineSpeedsRpm } = study.field;
  const row = nearestPlace(places, altitudeM);
  const place = places[row];
  const found = gateOpenShown(study)?.[row];
  if (place === undefined || found === undefined) return [];
  const pressure = tunerPressure(build);
  return [
    {
      id: 'gate-open',
      name: `lowest at ${placeName(place, altitudeUnit(build))}, gate open`,
      style: 'creep',
      weight: 'main',
      points: found.map((pa, i) =>
        typeof pa === 'number'
          ? { x: engineSpeedsRpm[i] ?? 0, value: pressure.value(pa, place.ambient.pressurePa) }
          : null,
      ),
    },
  ];
}

/** What the goal asks for at an altitude, reached or not; a gauge goal asks for the same boost everywhere. */
function goalSeries(build: Build, study: CandidateStudy, altitudeM: number): LineSeries {
  const { held } = study;
  const pressure = tunerPressure(build);
  const row = nearestPlace(held.places, altitudeM);
  const place = held.places[row];
  const isSameEverywhere =
    (held.goal.kind === 'gauge-boost' && pressure.kind === 'gauge') ||
    (held.goal.kind === 'manifold-pressure' && pressure.kind === 'absolute');
  const where = place === undefined || isSameEverywhere ? '' : ` at ${placeName(place, altitudeUnit(build))}`;
  return {
    id: 'goal',
    name: `goal${where}`,
    style: 'goal',
    weight: 'main',
    points: (held.cells[row] ?? []).map(({ point }) => {
      const askedPa = goalPressurePa(held.goal, point);
      if (askedPa === null || place === undefined) return null;
      return { x: point.engineSpeedRpm, value: pressure.value(askedPa, place.ambient.pressurePa) };
    }),
  };
}

/** The pointed place and engine speed on the chart. */
export function withPointed(chart: StandingLines, study: CandidateStudy, pointed: Pointed): LineChartModel {
  const altitudeM = readAltitudeM(study.field.places, pointed);
  const row = altitudeM === null ? -1 : nearestPlace(study.ceilings.places, altitudeM);
  const isDrawn = chart.series.some(({ id }) => id === seriesId(row));
  return { ...chart, focusX: pointed.engineSpeedRpm, focusSeriesId: isDrawn ? seriesId(row) : null };
}

/** Ceilings of the day's place with the room that the tolerances leave. */
export function spreadCeilings(build: Build, spread: SpreadDone, ambientPa: number): LineChartModel {
  const pressure = tunerPressure(build);
  const value = (pa: number) => pressure.value(pa, ambientPa);
  const band: LineBand = {
    id: 'band',
    style: 'plain',
    points: spread.ceilings.map(({ engineSpeedRpm, band: of }) =>
      of === null ? null : { x: engineSpeedRpm, low: value(of.p10), high: value(of.p90) },
    ),
  };
  const nominal: LineSeries = {
    id: 'nominal',
    name: 'ceiling',
    style: 'plain',
    weight: 'main',
    points: spread.ceilings.map(({ engineSpeedRpm, nominal: ceiling }) =>
      ceiling.status === 'ok' ? { x: engineSpeedRpm, value: value(ceiling.manifoldPressurePa) } : null,
    ),
  };
  return {
    xAxis: speedAxis(spread.ceilings.map(({ engineSpeedRpm }) => engineSpeedRpm)),
    valueAxis: { ...pressureAxis(pressure), title: `Ceiling: ${pressure.title.toLowerCase()}` },
    bands: [band],
    series: [nominal],
    focusX: null,
    focusSeriesId: null,
  };
}

type BindingField = Omit<FieldChartModel, 'focus'>;

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
