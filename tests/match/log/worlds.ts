import { readRoadLog } from '../../../src/match/index.ts';
import { perturbedSurface } from '../../../src/match/studies/samples.ts';
import type { LogChannelKey, MatchInput, RoadLogResult } from '../../../src/match/types.ts';
import { evaluateCurve } from '../../../src/numerics/index.ts';
import { generator } from '../random-builds.ts';
import { logOf, normal, readingsOf, solvedAt, steps } from './made-log.ts';

/** What is off in a world, each one standard deviation of the tolerances that the program takes; the true car is made of the entered one by it. */
export interface World {
  truth: MatchInput;
  result: RoadLogResult;
  veRatio: (engineSpeedRpm: number) => number;
}

/** ln of true over entered volumetric efficiency: common 3 %, shape 2.5 % over 1,200 rpm, by a Cholesky factor of its own at 250 rpm steps. */
function drawnVe(gauss: () => number): (n: number) => number {
  const at = steps(1500, 7500, 250);
  const n = at.length;
  const covariance = at.map((a) =>
    at.map((b) => 0.025 ** 2 * Math.exp(-0.5 * ((a - b) / 1200) ** 2) + (a === b ? 1e-9 : 0)),
  );
  const L = at.map(() => new Array<number>(n).fill(0));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = covariance[i]![j]!;
      for (let k = 0; k < j; k++) sum -= L[i]![k]! * L[j]![k]!;
      L[i]![j] = i === j ? Math.sqrt(Math.max(0, sum)) : sum / L[j]![j]!;
    }
  }
  const z = at.map(() => gauss());
  const common = 0.03 * gauss();
  const curve = at.map((engineSpeedRpm, i) => ({
    engineSpeedRpm,
    value: common + L[i]!.reduce((sum, l, k) => sum + l * z[k]!, 0),
  }));
  return (rpm) => evaluateCurve(curve, rpm)!;
}

/**
 * A car that is not quite what was entered, and instruments that are not quite right; its log by the solver of the operating line, forwards.
 * Everything by normal draws of half of the usual tolerances (written out here, not read from the program).
 */
export function world(entered: MatchInput, seed: number, channels: readonly LogChannelKey[]): World {
  const gauss = normal(generator(seed));
  const logVe = drawnVe(gauss);
  const warm = 2.5 * gauss();
  const { cooler } = entered.chargePath;
  const effectiveness = Math.min(0.99, (cooler.kind === 'none' ? 0 : cooler.effectiveness) + 0.025 * gauss());
  const flow = 1 + 0.005 * gauss();
  const pressureRatio = 1 + 0.0025 * gauss();
  const truth: MatchInput = {
    ...entered,
    ambient: { ...entered.ambient, pressurePa: entered.ambient.pressurePa * (1 + 0.0025 * gauss()) },
    engine: {
      ...entered.engine,
      volumetricEfficiency: steps(1500, 7000, 250).map((n) => ({
        engineSpeedRpm: n,
        value: evaluateCurve(entered.engine.volumetricEfficiency, n)! * Math.exp(logVe(n)),
      })),
    },
    inletPath: {
      ...entered.inletPath,
      lossPa: entered.inletPath.lossPa * Math.max(0.2, 1 + 0.1 * gauss()),
      heatingK: entered.inletPath.heatingK + warm,
    },
    chargePath: {
      ...entered.chargePath,
      lossPa: entered.chargePath.lossPa * Math.max(0.2, 1 + 0.1 * gauss()),
      cooler:
        cooler.kind === 'none'
          ? cooler
          : {
              ...cooler,
              effectiveness,
              ...(cooler.effectivenessAtFlow && {
                effectivenessAtFlow: cooler.effectivenessAtFlow.map((p) => ({
                  ...p,
                  effectiveness: p.effectiveness + effectiveness - cooler.effectiveness,
                })),
              }),
            },
    },
    turbine: entered.turbine && {
      ...entered.turbine,
      capacityFactor: (entered.turbine.capacityFactor ?? 1) * (1 + 0.015 * gauss()),
      efficiencyShift: (entered.turbine.efficiencyShift ?? 0) + 0.015 * gauss(),
      inletTemperatureShiftK: (entered.turbine.inletTemperatureShiftK ?? 0) + 15 * gauss(),
      exhaustLoss: {
        ...entered.turbine.exhaustLoss,
        lossPa: entered.turbine.exhaustLoss.lossPa * Math.max(0.2, 1 + 0.125 * gauss()),
      },
    },
    compressor: perturbedSurface(entered.compressor, { flow, pressureRatio, efficiency: 0.0075 * gauss() }),
  };
  const offset = 1000 * gauss();
  const scale = 1 + 0.005 * gauss();
  const shaft = 1 + 0.0005 * gauss();
  const probe = gauss();
  const points = solvedAt(truth, steps(2500, 6500, 100));
  // What a map's fit misses by, 0.12 %, held over 250 rpm as the fit takes it.
  const misfit = steps(2500, 6500, 250).map(() => 0.0012 * gauss());
  const read = readingsOf(points);
  // The gauge reads the absolute pressure: the true one less its offset and scale, with noise; so do the others.
  const columns = {
    engineSpeed: read.engineSpeed,
    manifoldPressure: read.manifoldPressure.map((p) => (p - offset) / scale + 700 * gauss()),
    shaftSpeed: read.shaftSpeed.map(
      (n, i) => n * Math.exp(misfit[Math.round((i * 100) / 250)]!) * shaft * (1 + 0.0015 * gauss()),
    ),
    chargeTemperature: read.chargeTemperature.map((t) => t - probe + gauss()),
    compressorInletTemperature: points.map((p) => p.compressorInletTemperatureK + 0.3 * gauss()),
    compressorInletPressure: points.map((p) => p.compressorInletPressurePa + 100 * gauss()),
  };
  const log = logOf(
    Object.fromEntries(Object.entries(columns).filter(([key]) => channels.includes(key as LogChannelKey))),
  );
  return { truth, result: readRoadLog(entered, log), veRatio: (n) => Math.exp(logVe(n)) };
}

const AT_RPM = [2750, 3500, 4500, 5500, 6400];

/** How the fit does in worlds: share of the truths within the 80 % band, and root mean square of ln(fitted/true), of all and by engine speed. */
export function fitsInWorlds(entered: MatchInput, seeds: readonly number[], channels: readonly LogChannelKey[]) {
  const all = seeds.flatMap((seed) => {
    const { result, veRatio } = world(entered, seed, channels);
    const fit = result.fit!;
    return AT_RPM.map((n) => {
      const at = fit.volumetricEfficiency.reduce((best, p) =>
        Math.abs(p.engineSpeedRpm - n) < Math.abs(best.engineSpeedRpm - n) ? p : best,
      );
      const off = Math.log(at.value / at.entered / veRatio(at.engineSpeedRpm));
      return { n, off, z: (off * at.value) / at.standardDeviation, prior: Math.log(veRatio(at.engineSpeedRpm)) };
    });
  });
  const root = (values: readonly number[]) => Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / values.length);
  // 80 of 100 of a normal distribution lie within 1.2816 deviations.
  const within = all.filter(({ z }) => Math.abs(z) < 1.2816).length / all.length;
  const high = root(all.filter(({ n }) => n >= 4500).map(({ off }) => off));
  const byRpm = AT_RPM.map((n) => {
    const here = all.filter((one) => one.n === n);
    return { n, after: root(here.map(({ off }) => off)), before: root(here.map(({ prior }) => prior)) };
  });
  return { within, high, byRpm, count: all.length };
}
