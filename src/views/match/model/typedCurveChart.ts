import type { FieldRule, TypedCurve } from '../../../build/index.ts';
import type { CurveChartModel } from '../../../plot/index.ts';
import { fromSi, parseQuantity, plainNumber, unitOf } from '../../../units/index.ts';

/** The chart of a typed curve, and which row of the table each of its points stands in. */
export interface TypedCurveChart extends CurveChartModel {
  rowOf: readonly number[];
}

const SPEED_STEP = 50;

/** Rows that can be read, in rising engine speed; the others stay in the table and wait there. */
export function curveChartModel(curve: TypedCurve, title: string, rule: FieldRule): TypedCurveChart {
  const unit = unitOf(rule.quantity, curve.unit);
  const readable = curve.rows
    .flatMap((row, index) => {
      const speed = parseQuantity(row.engineSpeed, 'engine-speed', 'rpm');
      const value = parseQuantity(row.value, rule.quantity, curve.unit);
      return speed.ok && value.ok ? [{ index, engineSpeedRpm: speed.si, value: value.value }] : [];
    })
    .sort((a, b) => a.engineSpeedRpm - b.engineSpeedRpm);
  const speeds = readable.map(({ engineSpeedRpm }) => engineSpeedRpm);
  return {
    valueAxis: {
      title,
      unit: unit.label,
      min: fromSi(rule.low, rule.quantity, curve.unit),
      max: fromSi(rule.high, rule.quantity, curve.unit),
      step: unit.step,
      decimals: unit.decimals,
    },
    speedAxis: {
      min: speeds[0] ?? 1000,
      max: speeds.length > 1 ? speeds.at(-1)! : (speeds[0] ?? 1000) + 5000,
      step: SPEED_STEP,
    },
    points: readable.map(({ engineSpeedRpm, value }) => ({ engineSpeedRpm, value })),
    rowOf: readable.map(({ index }) => index),
  };
}

interface ChartPoint {
  engineSpeedRpm: number;
  value: number;
}

/** The rows with one point of the chart moved. A coordinate that did not move keeps the text that was typed. */
export function draggedRows(
  curve: TypedCurve,
  chart: TypedCurveChart,
  index: number,
  point: ChartPoint,
): TypedCurve['rows'] {
  const before = chart.points[index];
  return curve.rows.map((row, at) => {
    if (at !== chart.rowOf[index] || before === undefined) return row;
    return {
      engineSpeed: point.engineSpeedRpm === before.engineSpeedRpm ? row.engineSpeed : plainNumber(point.engineSpeedRpm),
      value: point.value === before.value ? row.value : plainNumber(point.value),
    };
  });
}

/** The rows with a new point, put before the row of the point that follows it on the chart. */
export function addedRow(
  curve: TypedCurve,
  chart: TypedCurveChart,
  index: number,
  point: ChartPoint,
): TypedCurve['rows'] {
  const row = { engineSpeed: plainNumber(point.engineSpeedRpm), value: plainNumber(point.value) };
  return curve.rows.toSpliced(chart.rowOf[index] ?? curve.rows.length, 0, row);
}
