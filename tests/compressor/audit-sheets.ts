import { readFileSync } from 'node:fs';
import type { FlowUnit, Island, MapSheet, SheetPoint, SpeedLine } from '../../src/compressor/types.ts';
import { AnalyticCompressor, type MachineShape } from '../machines/analytic-compressor.ts';

/** Sheet units per kg/s. */
const FLOW: Record<FlowUnit, number> = { 'kg/s': 1, 'lb/min': 132.277, 'm3/s': 0.8558, cfm: 1813.4 };
const STEP: Record<FlowUnit, number> = { 'kg/s': 0.001, 'lb/min': 0.1, 'm3/s': 0.001, cfm: 1 };

export interface ReadingOptions {
  lines?: number;
  points?: number;
  unit?: FlowUnit;
  /** Islands instead of efficiencies at the points. */
  islands?: boolean;
  /** Corrected speed of the lowest line over the top line. */
  from?: number;
}

/** An analytic compressor as a person would read it off a sheet: rounded to 0.001 kg/s or 0.1 lb/min, PR 0.01, efficiency 0.001. */
export function readSheet(shape: MachineShape, options: ReadingOptions = {}): MapSheet {
  const { lines = 8, points = 9, unit = 'kg/s', islands = false, from = 0.42 } = options;
  const machine = new AnalyticCompressor(shape);
  const top = Math.round(machine.topSpeedRpm / 1000) * 1000;
  const speeds = Array.from(
    { length: lines },
    (_, i) => Math.round((top * (from + ((1 - from) * i) / (lines - 1))) / 1000) * 1000,
  );
  const round = (v: number, step: number): number => Number((Math.round(v / step) * step).toFixed(4));
  const flow = (kg: number): number => round(kg * FLOW[unit], STEP[unit]);
  const speedLines = speeds.map((speedRpm): SpeedLine => {
    const read: SheetPoint[] = [];
    for (let i = 0; i < points; i++) {
      const p = machine.at(speedRpm, Math.sin((0.5 * Math.PI * i) / (points - 1)));
      if (!p) continue;
      const point = { flow: flow(p.correctedMassFlowKgPerS), pressureRatio: round(p.pressureRatio, 0.01) };
      read.push(islands ? point : { ...point, efficiency: round(p.efficiency, 0.001) });
    }
    return { speedRpm, points: read };
  });
  return {
    format: 'lugline-map',
    version: 1,
    name: shape.name,
    source: 'computed',
    reference: { temperatureK: 298.15, pressurePa: 100000 },
    flowUnit: unit,
    speedLines,
    surgeLine: speedLines.map((l) => ({ flow: l.points[0]!.flow, pressureRatio: l.points[0]!.pressureRatio })),
    islands: islands ? islandValues(machine, speeds).flatMap((e) => readIsland(machine, speeds, e, flow)) : undefined,
    limits: { shaftSpeedRpm: top },
    wheel: { inducerMm: round(shape.inducerM * 1000, 0.1), exducerMm: round(shape.exducerM * 1000, 0.1) },
    invented: true,
  };
}

function islandValues(machine: AnalyticCompressor, speeds: readonly number[]): number[] {
  let peak = 0;
  for (const speed of speeds)
    for (let k = 0; k <= 50; k++) peak = Math.max(peak, machine.at(speed, k / 50)!.efficiency);
  return [0.12, 0.06, 0.02, 0.008].map((below) => Number((peak - below).toFixed(3)));
}

/** One contour as two arms over speed, joined at the top and bottom; open where it runs off the map at the surge side. */
function readIsland(
  machine: AnalyticCompressor,
  speeds: readonly number[],
  efficiency: number,
  flow: (kg: number) => number,
): Island[] {
  const left: { flow: number; pressureRatio: number }[] = [];
  const right: { flow: number; pressureRatio: number }[] = [];
  let cut = false;
  const n = 40;
  for (let i = 0; i <= n; i++) {
    const speed = speeds[0]! + ((speeds.at(-1)! - speeds[0]!) * i) / n;
    const at = (beta: number) => machine.at(speed, beta)!;
    let peak = 0;
    for (let k = 0; k <= 100; k++) if (at(k / 100).efficiency > at(peak).efficiency) peak = k / 100;
    if (at(peak).efficiency < efficiency) continue;
    const place = (beta: number) => {
      const p = at(beta);
      return { flow: flow(p.correctedMassFlowKgPerS), pressureRatio: Number(p.pressureRatio.toFixed(2)) };
    };
    if (at(0).efficiency > efficiency) cut = true;
    else left.push(place(bisect((b) => at(b).efficiency - efficiency, 0, peak)));
    right.push(place(bisect((b) => efficiency - at(b).efficiency, peak, 1)));
  }
  if (right.length < 4) return [];
  const runsOffTop = right.length > 0 && i0(machine, speeds.at(-1)!, efficiency);
  const runsOffBottom = i0(machine, speeds[0]!, efficiency);
  if (cut || runsOffTop || runsOffBottom) return [{ efficiency, closed: false, points: right }];
  return [{ efficiency, closed: true, points: [...left, ...right.reverse()] }];
}

function i0(machine: AnalyticCompressor, speed: number, efficiency: number): boolean {
  for (let k = 0; k <= 50; k++) if (machine.at(speed, k / 50)!.efficiency > efficiency) return true;
  return false;
}

function bisect(f: (x: number) => number, low: number, high: number): number {
  for (let i = 0; i < 40; i++) {
    const middle = 0.5 * (low + high);
    if (f(middle) < 0) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}

/**
 * NASA High Efficiency Centrifugal Compressor, vaned diffuser: 92 measured points. Source: NASA HECC data archive, read-me revision
 * 14 April 2023; reports NASA/CR-2014-218114 and Braunscheidel et al., AIAA 2015. Corrected to 518.67 R and 14.696 psia.
 * Lines are the file's own percent column, flow in lb/min (lbm/s x 60), points in the order of the file (not along the line).
 */
export function nasaSheet(): MapSheet {
  const rows = readFileSync(new URL('../fixtures/nasa-hecc-vaned.csv', import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .slice(1);
  const groups = new Map<string, { speeds: number[]; points: SheetPoint[] }>();
  for (const row of rows) {
    const [percent = '', speed, flow, ratio, efficiency] = row.split(',');
    const group = groups.get(percent) ?? { speeds: [], points: [] };
    groups.set(percent, group);
    group.speeds.push(Number(speed));
    group.points.push({ flow: Number(flow) * 60, pressureRatio: Number(ratio), efficiency: Number(efficiency) });
  }
  return {
    format: 'lugline-map',
    version: 1,
    name: 'NASA HECC, vaned diffuser',
    source: 'NASA HECC data archive, 2023',
    reference: { temperatureK: 288.15, pressurePa: 101325 },
    flowUnit: 'lb/min',
    speedLines: [...groups.values()].map((g) => ({
      speedRpm: g.speeds.reduce((a, b) => a + b, 0) / g.speeds.length,
      points: g.points,
    })),
    wheel: { inducerMm: 215.9, exducerMm: 431.8 },
  };
}
