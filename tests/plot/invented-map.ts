import type { FlowAndRatio } from '../../src/compressor/types.ts';
import type { MapChart, MapPlotModel, PlotIsland, PlotOperatingPoint } from '../../src/plot/charts/map-model.ts';

/** An invented centrifugal compressor for drawing: nothing here claims to be computed. */
function rangeOf(count: number): number[] {
  return Array.from({ length: count }, (_, i) => i);
}

export function onLine(speed: number, beta: number): FlowAndRatio {
  const surge = { flow: 0.165 * speed ** 1.35, ratio: (1 + 0.566 * speed ** 2) ** 2.8 };
  const chokeFlow = 0.35 * (0.12 + 0.88 * speed ** 1.15);
  const chokeRatio = 1 + (surge.ratio - 1) * 0.42;
  return {
    correctedMassFlowKgPerS: surge.flow + beta * (chokeFlow - surge.flow),
    pressureRatio: chokeRatio + (surge.ratio - chokeRatio) * (1 - beta ** (2 + 0.8 * speed)) ** 0.6,
  };
}

function island(efficiency: number, size: number, closed: boolean): PlotIsland {
  const points = rangeOf(48).map((i) => {
    const angle = (i / 48) * 2 * Math.PI;
    return onLine(0.7 + size * Math.sin(angle) * 0.8, Math.min(1, Math.max(0, 0.5 + size * Math.cos(angle))));
  });
  return { contour: { efficiency, rings: [{ points, closed }] }, label: `${Math.round(efficiency * 100)} %` };
}

export function inventedChart(lineCount = 8, over: Partial<MapChart> = {}): MapChart {
  const speeds = rangeOf(lineCount).map((i) => 1 / 3 + ((i / Math.max(1, lineCount - 1)) * 2) / 3);
  return {
    flowAxis: { title: 'Corrected air flow', unit: 'kg/s', perKgPerS: 1 },
    ratioAxis: { title: 'Pressure ratio, total to total' },
    extent: { minFlowKgPerS: 0, maxFlowKgPerS: 0.36, minPressureRatio: 1, maxPressureRatio: 3.75 },
    speedLines: speeds.map((speed) => ({
      label: Math.round(speed * 180_000)
        .toLocaleString('en', { useGrouping: 'min2' })
        .replaceAll(',', '\u202f'),
      kind: 'entered',
      points: rangeOf(40).map((i) => onLine(speed, i / 39)),
      isRated: false,
    })),
    speedLabelNote: 'Speed lines: shaft speed, rpm, at 24 °C inlet',
    surgeLine: [{ points: speeds.map((speed) => onLine(speed, 0)), extended: false }],
    chokeEnd: [{ points: speeds.map((speed) => onLine(speed, 1)), extended: false }],
    islands: [island(0.68, 0.29, true), island(0.72, 0.21, true), island(0.76, 0.11, true), island(0.6, 0.4, false)],
    islandLabelNote: 'Efficiency islands, total to total',
    ratedSpeedLine: {
      pieces: [{ points: rangeOf(40).map((i) => onLine(0.955, i / 39)), extended: false }],
      label: 'rated speed 172\u202f000 rpm',
    },
    sheetPoints: [],
    ...over,
  };
}

export function inventedLine(flowScale: number, boost: number, count = 60): PlotOperatingPoint[] {
  return rangeOf(count).map((i) => {
    const engineSpeedRpm = 1800 + (i / (count - 1)) * 5200;
    const pressureRatio = 1.12 + boost * Math.min(1, (engineSpeedRpm - 1500) / 2300);
    return {
      correctedMassFlowKgPerS: (flowScale * engineSpeedRpm * pressureRatio) / 60_000,
      pressureRatio,
      engineSpeedRpm: Math.round(engineSpeedRpm),
      extended: false,
      marked: i % 6 === 0,
    };
  });
}

export function inventedModel(over: Partial<MapPlotModel> = {}): MapPlotModel {
  return {
    chart: inventedChart(),
    operatingLines: [
      { id: 'a', name: 'A: Larch', style: 'a', points: inventedLine(1, 1.5) },
      { id: 'b', name: 'B: Rowan', style: 'b', points: inventedLine(1.05, 1.2) },
    ],
    places: [],
    focus: null,
    ...over,
  };
}
