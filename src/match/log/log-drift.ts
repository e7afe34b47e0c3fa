import { rootMeanSquare } from './joint-fit.ts';
import type { LogDrift, RoadLogResult, RoadLogRow } from './result-types.ts';

const BIN_RPM = 500;
const LEAST_ROWS = 3;
const DRIFTED = 2;
/** What moves a car between two days though nothing is wrong: its sensors and its air, as shares of shaft speed (common practice, no source). */
const DAY = 0.004;

interface BinSide {
  speed: number;
  speedDeviation: number;
  ve: number | null;
  veDeviation: number;
}

/**
 * What has changed between two logs of one car, by engine speed: the shaft speed against what the path predicts for each row's own pressure
 * ratio and air, so that two days or altitudes are compared in corrected terms, and the volumetric efficiency. What is entered wrong cancels,
 * for it is wrong in both; what cancels of the instruments' own errors is not known, and a day's 0.4 % of speed stands for it.
 * @returns engine speeds that both logs cover, rising
 */
export function driftBetween(earlier: RoadLogResult, later: RoadLogResult): LogDrift[] {
  const bins = (log: RoadLogResult) => {
    const groups = new Map<number, RoadLogRow[]>();
    for (const row of log.rows) {
      if (!row.used || row.shaftSpeedRpm === null || row.predictedShaftSpeedRpm === null) continue;
      const bin = Math.round(row.engineSpeedRpm / BIN_RPM) * BIN_RPM;
      groups.set(bin, [...(groups.get(bin) ?? []), row]);
    }
    return new Map(
      [...groups].filter(([, rows]) => rows.length >= LEAST_ROWS).map(([bin, rows]) => [bin, sideOf(rows)]),
    );
  };
  const [before, after] = [bins(earlier), bins(later)];
  return [...before.keys()]
    .filter((bin) => after.has(bin))
    .sort((a, b) => a - b)
    .map((engineSpeedRpm) => {
      const [a, b] = [before.get(engineSpeedRpm)!, after.get(engineSpeedRpm)!];
      const shaftSpeed = b.speed - a.speed;
      const shaftSpeedDeviation = Math.hypot(a.speedDeviation, b.speedDeviation, DAY);
      const hasVe = a.ve !== null && b.ve !== null;
      const volumetricEfficiency = hasVe ? b.ve! - a.ve! : null;
      const volumetricEfficiencyDeviation = hasVe ? Math.hypot(a.veDeviation, b.veDeviation) : null;
      const isOver = (value: number | null, deviation: number | null) =>
        value !== null && Math.abs(value) > DRIFTED * (deviation ?? 0);
      return {
        engineSpeedRpm,
        shaftSpeed,
        shaftSpeedDeviation,
        volumetricEfficiency,
        volumetricEfficiencyDeviation,
        drifted: isOver(shaftSpeed, shaftSpeedDeviation) || isOver(volumetricEfficiency, volumetricEfficiencyDeviation),
      };
    });
}

function sideOf(rows: readonly RoadLogRow[]): BinSide {
  const meanOf = (values: readonly number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;
  const scatter = (values: readonly number[]) =>
    rootMeanSquare(values.map((x) => x - meanOf(values))) / Math.sqrt(Math.max(1, values.length - 1));
  const speeds = rows.map((row) => Math.log(row.shaftSpeedRpm! / row.predictedShaftSpeedRpm!));
  const metered = rows.filter((row) => row.reading !== 'none' && row.volumetricEfficiency !== null);
  const ves = metered.map((row) => Math.log(row.volumetricEfficiency!));
  const hasVe = ves.length >= LEAST_ROWS;
  // A day's error of speed, as the map makes it one of flow.
  const amplified = hasVe ? meanOf(metered.map((row) => row.amplification!)) * DAY : 0;
  return {
    speed: meanOf(speeds),
    speedDeviation: scatter(speeds),
    ve: hasVe ? meanOf(ves) : null,
    veDeviation: hasVe ? Math.hypot(scatter(ves), amplified) : 0,
  };
}
