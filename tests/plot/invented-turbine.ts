import type { PlotCapacity, PlotTurbineEngine, TurbineChartModel } from '../../src/plot/index.ts';

/** An invented turbine for drawing: nothing here claims to be computed. */
const flowAt = (expansionRatio: number, scale = 1) => scale * 0.11 * (1 - Math.exp(-3 * (expansionRatio - 1)));

export function inventedCapacity(style: 'a' | 'b', scale = 1, over: Partial<PlotCapacity> = {}): PlotCapacity {
  const ratios = Array.from({ length: 41 }, (_, i) => 1 + (i / 40) * 2);
  return {
    id: `capacity-${style}`,
    name: `${style.toUpperCase()} capacity`,
    style,
    curves: [
      {
        points: ratios.map((expansionRatio) => ({
          expansionRatio,
          flow: flowAt(expansionRatio, scale),
          extended: expansionRatio < 1.29 || expansionRatio > 2.51,
        })),
        chokesAt: { expansionRatio: 2.4, flow: flowAt(2.4, scale) },
      },
    ],
    entered: [1.3, 1.6, 2, 2.5].map((expansionRatio) => ({ expansionRatio, flow: flowAt(expansionRatio, scale) })),
    band: null,
    ...over,
  };
}

/** Gate shut up to 2,500 rpm, a quarter past the turbine at the end. */
export function inventedEngine(style: 'a' | 'b', scale = 1): PlotTurbineEngine {
  return {
    id: `engine-${style}`,
    letter: style.toUpperCase(),
    style,
    points: Array.from({ length: 21 }, (_, i) => {
      const expansionRatio = 1.15 + (i / 20) * 1.4;
      const flow = flowAt(expansionRatio, scale);
      const gate = Math.max(0, (i - 4) / 16) * 0.25;
      return {
        engineSpeedRpm: 1500 + 250 * i,
        expansionRatio,
        flow,
        wholeExhaust: flow / (1 - gate),
        marked: i % 4 === 0,
        severity: i === 20 ? ('stop' as const) : i === 16 ? ('caution' as const) : undefined,
      };
    }),
  };
}

export function inventedTurbine(over: Partial<TurbineChartModel> = {}): TurbineChartModel {
  return {
    maxRatio: 3,
    flowAxis: { title: 'Flow corrected to 288.15 K, 101.33 kPa', unit: 'kg/s', decimals: 4 },
    capacities: [inventedCapacity('a')],
    engines: [inventedEngine('a')],
    focusRpm: null,
    ...over,
  };
}
