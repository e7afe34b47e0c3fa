import type { CompressorSurface } from '../../compressor/types.ts';
import { evaluateCurve } from '../../numerics/index.ts';
import type { CarPath, PathState } from './car-path.ts';
import { type MeterCheck, meteredFlows } from './flow-meter.ts';
import { PEGGED, SPIKE } from './log-frame.ts';
import type { WorkRow } from './log-rows.ts';
import type { RoadLogRow, RoadLogRowClass } from './result-types.ts';
import { flowReading, NO_READING, type Priors, type RowBand, rowBand } from './row-bands.ts';

/** A row with what the map says of its flow. */
export interface MeteredRow extends WorkRow {
  readonly flows: readonly number[];
  /** State at the flow that is taken; null: none. */
  readonly metered: PathState | null;
  readonly band: RowBand;
  readonly fillingShare: number;
  readonly class: RoadLogRowClass;
  readonly side: RoadLogRow['side'];
  /** In the fit. */
  readonly used: boolean;
}

const FILLING = 0.02;
const MOST_FILLING = 0.05;
/** A sensor is taken to follow the shaft to within this time after its lag is out, s; and by how much it may then be off. */
const FOLLOWS_S = 0.02;
const LAGGING = 0.006;

/** Whether the shaft speed of a row is quiet enough to be held against the prediction. */
export function isLagging(row: WorkRow): boolean {
  return Math.abs(row.shaftRate) * FOLLOWS_S > LAGGING;
}

/** Share of the compressor's flow that fills the charge path, by the flow metered or, without one, predicted. */
export function fillingShareOf(path: CarPath, row: WorkRow, state: PathState | null): number {
  const rate = row.readings.pressureRatePaPerS;
  if (state === null || Number.isNaN(rate)) return 0;
  return (rate * path.fillingPerRate(state.manifoldTemperatureK)) / state.airMassFlowKgPerS;
}

export function meterRows(
  path: CarPath,
  rows: readonly WorkRow[],
  check: MeterCheck,
  priors: Priors,
  isSurging: (row: WorkRow) => boolean,
): MeteredRow[] {
  return rows.map((row) => meterRow(path, row, check, priors, isSurging(row)));
}

function meterRow(path: CarPath, row: WorkRow, check: MeterCheck, priors: Priors, surging: boolean): MeteredRow {
  const { readings, predicted } = row;
  const hasSpeed = readings.shaftSpeedRpm > 0;
  const guess = predicted?.airMassFlowKgPerS ?? roughFlow(path, row);
  const flows = hasSpeed && readings.manifoldPressurePa > 0 ? meteredFlows(path, readings, guess, check) : [];
  const flow = nearest(flows, guess);
  const metered = flow === null ? null : path.settle(readings, flow);
  const fillingShare = fillingShareOf(path, row, metered ?? predicted);
  const isOff = hasSpeed && metered === null;
  const given: RoadLogRowClass =
    row.lost & PEGGED ? 'pegged' : row.lost & SPIKE ? 'spike' : isOff ? 'off-map' : surging ? 'surging' : 'steady';
  const rated: RoadLogRowClass = isLagging(row) ? 'lagging' : Math.abs(fillingShare) > FILLING ? 'filling' : 'steady';
  const rowClass = given === 'steady' ? rated : given;
  return {
    ...row,
    flows,
    metered,
    band: bandOf(path, row, metered, priors, Math.abs(fillingShare)),
    fillingShare,
    class: rowClass,
    side: isOff ? sideOf(path, row) : null,
    used:
      predicted !== null && (rowClass === 'steady' || rowClass === 'filling') && Math.abs(fillingShare) <= MOST_FILLING,
  };
}

function bandOf(path: CarPath, row: WorkRow, metered: PathState | null, priors: Priors, filling: number): RowBand {
  if (metered === null) return NO_READING;
  const band = rowBand(path, row.readings, metered, row.noise, priors);
  if (band.reading === 'none' && !Number.isFinite(band.amplification)) return band;
  // The boosted volume is known to half; a probe that may lag is half of that off.
  const doubts = [filling > FILLING ? 0.5 * filling : 0, row.probeDoubtK / metered.manifoldTemperatureK];
  const systematic = Math.hypot(band.systematic, ...doubts);
  return { ...band, systematic, reading: flowReading(Math.hypot(band.random, systematic)) };
}

/** What the engine would draw from a charge of 330 K: where the map has no answer to the demand. */
function roughFlow(path: CarPath, { readings }: WorkRow): number {
  return ((path.speedAt(readings.engineSpeedRpm)?.breathing ?? 0) * readings.manifoldPressurePa) / 330;
}

function nearest(flows: readonly number[], wanted: number): number | null {
  const nearer = (a: number, b: number) => (Math.abs(b - wanted) < Math.abs(a - wanted) ? b : a);
  return flows.length === 0 ? null : flows.reduce(nearer);
}

/** On which side of the map's answers a speed and pressure ratio lie that it has no flow for. */
function sideOf(path: CarPath, { readings }: WorkRow): RoadLogRow['side'] {
  const surface: CompressorSurface = path.line.input.compressor;
  const speed = path.correctedSpeed(readings);
  if (speed > surface.highestAnswerRpm) return 'above';
  const ratio = path.manifoldPressure(readings) / readings.ambientPressurePa;
  const choke = surface.chokeAt(Math.max(speed, surface.lowestAnswerRpm));
  return choke !== null && ratio < choke.pressureRatio * 1.05 ? 'right' : 'left';
}

/** The root nearest to a flow of the joint fit, where a row has several. */
export function rechosen(path: CarPath, row: MeteredRow, priors: Priors, fittedVeRatio: number): MeteredRow {
  if (row.flows.length < 2) return row;
  const wanted = path.predict(row.readings, fittedVeRatio)?.airMassFlowKgPerS;
  const flow = wanted === undefined ? null : nearest(row.flows, wanted);
  if (flow === null || flow === row.metered?.airMassFlowKgPerS) return row;
  const metered = path.settle(row.readings, flow);
  return { ...row, metered, band: bandOf(path, row, metered, priors, Math.abs(row.fillingShare)) };
}

/** The row as it is given back. */
export function shownRow(path: CarPath, row: MeteredRow): RoadLogRow {
  const { readings, metered, band, predicted } = row;
  const known = (value: number) => (Number.isFinite(value) ? value : null);
  const entered = evaluateCurve(path.line.input.engine.volumetricEfficiency, readings.engineSpeedRpm) ?? Number.NaN;
  const hasFlow = metered !== null && Number.isFinite(band.amplification);
  const ve = hasFlow ? entered * metered.veRatio : Number.NaN;
  const place = metered ?? (readings.shaftSpeedRpm > 0 ? null : predicted);
  return {
    row: row.row,
    pull: row.pull,
    timeS: row.timeS,
    engineSpeedRpm: readings.engineSpeedRpm,
    class: row.class,
    used: row.used,
    manifoldPressurePa: known(readings.manifoldPressurePa),
    fillingShare: row.fillingShare,
    pressureRatio: place === null ? measuredRatio(row) : place.pressureRatio,
    correctedMassFlowKgPerS: hasFlow ? metered.correctedMassFlowKgPerS : null,
    airMassFlowKgPerS: hasFlow ? metered.airMassFlowKgPerS : null,
    volumetricEfficiency: known(ve),
    standardDeviation: known(ve * Math.hypot(band.random, band.systematic)),
    randomDeviation: known(ve * band.random),
    systematicDeviation: known(ve * band.systematic),
    reading: band.reading,
    amplification: known(band.amplification),
    flows: row.flows,
    side: row.side,
    shaftSpeedRpm: known(readings.shaftSpeedRpm),
    predictedShaftSpeedRpm: predicted?.shaftSpeedRpm ?? null,
    backPressureRatio: (metered ?? predicted)?.backPressureRatio ?? null,
  };
}

function measuredRatio({ readings, predicted }: WorkRow): number | null {
  const measured = readings.outletPressurePa / readings.inletPressurePa;
  return Number.isNaN(measured) ? (predicted?.pressureRatio ?? null) : measured;
}
