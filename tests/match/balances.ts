import { type GasMixture, moistAir } from '../../src/air/index.ts';
import { FUELS } from '../../src/engine/index.ts';
import type { MatchInput, OperatingPointSolved } from '../../src/match/index.ts';

const WATER = 0.01801528;
const DRY = 0.78084 * 0.0280134 + 0.209476 * 0.0319988 + 0.009365 * 0.039948 + 0.000319 * 0.0440095;

export function curveAt(curve: readonly { engineSpeedRpm: number; value: number }[], n: number): number {
  let i = 0;
  while (i < curve.length - 1 && curve[i + 1]!.engineSpeedRpm < n) i++;
  const [a, b] = [curve[i]!, curve[Math.min(i + 1, curve.length - 1)]!];
  if (n <= curve[0]!.engineSpeedRpm || a === b) return n <= curve[0]!.engineSpeedRpm ? curve[0]!.value : a.value;
  const share = Math.min(1, (n - a.engineSpeedRpm) / (b.engineSpeedRpm - a.engineSpeedRpm));
  return a.value + share * (b.value - a.value);
}

/** Simpson's rule: the test's own enthalpy and entropy, from heat capacity alone. */
export function integral(f: (x: number) => number, a: number, b: number): number {
  // The polynomials change their range at 1000 K, where Simpson's rule must not step across.
  if (a < 1000 && b > 1000) return integral(f, a, 1000 - 1e-9) + integral(f, 1000, b);
  const n = 12;
  const h = (b - a) / n;
  let sum = f(a) + f(b);
  for (let i = 1; i < n; i++) sum += (i % 2 === 1 ? 4 : 2) * f(a + i * h);
  return (sum * h) / 3;
}

function isentropicRise(gas: GasMixture, T1: number, PR: number): number {
  const wanted = gas.gasConstant * Math.log(PR);
  let T2 = T1 * PR ** 0.28;
  for (let i = 0; i < 20; i++) {
    const missing = wanted - integral((T) => gas.specificHeat(T) / T, T1, T2);
    T2 += (missing * T2) / gas.specificHeat(T2);
    if (Math.abs(missing) < 1e-13 * gas.gasConstant) break;
  }
  return integral((T) => gas.specificHeat(T), T1, T2);
}

/**
 * Every balance of a solved point, recomputed here from the input by other means than the solver's; each entry is a relative
 * residual that should vanish.
 */
export function balances(point: OperatingPointSolved, input: MatchInput): Record<string, number> {
  const { engine, ambient, inletPath, chargePath, compressor } = input;
  const n = point.engineSpeedRpm;
  const x = ambient.vapourMoleFraction;
  const gas = moistAir(x)!;
  const R = 8.31451 / ((1 - x) * DRY + x * WATER);
  const W = point.airMassFlowKgPerS;
  const humidity = (x / (1 - x)) * (WATER / DRY);
  const dryAir = W / (1 + humidity);
  const fuel = FUELS[engine.fuel];
  const fuelPerDryAir = 1 / (curveAt(engine.lambda, n) * fuel.stoichiometricAirFuelRatio);
  // Heywood eq. 6.2: partial pressure of the dry air, and of the moist air with it.
  const evaporated =
    engine.injection === 'port' && engine.fuel !== 'diesel' ? fuelPerDryAir * (DRY / fuel.molarMassKgPerMol) : 0;
  const moistShare = (1 + humidity * (DRY / WATER)) / (1 + evaporated + humidity * (DRY / WATER));
  const swept = (engine.displacementM3 * n) / (engine.strokesPerCycle === 4 ? 120 : 60);
  const breathed =
    (curveAt(engine.volumetricEfficiency, n) * swept * point.manifoldPressurePa * moistShare) /
    (R * point.manifoldTemperatureK);
  const T01 = ambient.temperatureK + inletPath.heatingK;
  const T02 = point.compressorOutletTemperatureK;
  const loss = (path: typeof chargePath | typeof inletPath, density: number) =>
    path.lossPa * (W / path.atMassFlowKgPerS) ** 2 * (path.atDensityKgPerM3 / density);
  const p01 = ambient.pressurePa - loss(inletPath, ambient.pressurePa / (R * ambient.temperatureK));
  const pm = point.compressorOutletPressurePa - loss(chargePath, point.compressorOutletPressurePa / (R * T02));
  const rise = integral((T) => gas.specificHeat(T), T01, T02);
  const theta = Math.sqrt((R * T01) / (287.05 * compressor.reference.temperatureK));
  const relative = (a: number, b: number) => a / b - 1;
  return {
    breathing: relative(breathed, W),
    inlet: relative(p01, point.compressorInletPressurePa),
    charge: relative(pm, point.manifoldPressurePa),
    ratio: relative(point.compressorOutletPressurePa / point.compressorInletPressurePa, point.pressureRatio),
    corrected: relative(
      (W * theta * compressor.reference.pressurePa) / point.compressorInletPressurePa,
      point.correctedMassFlowKgPerS,
    ),
    cooler: relative(cooled(chargePath.cooler, W, T02), point.manifoldTemperatureK),
    energy: relative(W * rise, point.compressorPowerW),
    efficiency: relative(isentropicRise(gas, T01, point.pressureRatio) / rise, point.efficiency),
    fuel: relative(dryAir * fuelPerDryAir, point.fuelMassFlowKgPerS),
    power: relative(point.fuelMassFlowKgPerS / curveAt(engine.bsfcKgPerJ, n), point.brakePowerW),
    torque: relative((point.torqueNm * 2 * Math.PI * n) / 60, point.brakePowerW),
    shaft: relative(point.correctedSpeedRpm * theta, point.shaftSpeedRpm),
    goal: relative(...goal(point, input, n)),
    ...map(point, input),
  };
}

function cooled(cooler: MatchInput['chargePath']['cooler'], W: number, T: number): number {
  if (cooler.kind === 'none') return T;
  const points = cooler.effectivenessAtFlow?.map((p) => ({ engineSpeedRpm: p.massFlowKgPerS, value: p.effectiveness }));
  const effectiveness = points === undefined ? cooler.effectiveness : curveAt(points, W);
  return (1 - effectiveness) * T + effectiveness * cooler.coolantTemperatureK;
}

function goal(point: OperatingPointSolved, input: MatchInput, n: number): [number, number] {
  const asked = curveAt(input.goal.curve, n);
  switch (input.goal.kind) {
    case 'gauge-boost':
      return [point.manifoldPressurePa, input.ambient.pressurePa + asked];
    case 'manifold-pressure':
      return [point.manifoldPressurePa, asked];
    case 'brake-power':
      return [point.brakePowerW, asked];
    case 'wheel-power':
      return [point.wheelPowerW, asked];
  }
}

/** The map's own answer at the reported place. */
function map(point: OperatingPointSolved, input: MatchInput): Record<string, number> {
  const answer = input.compressor.at(point.correctedMassFlowKgPerS, point.pressureRatio);
  const efficiency = answer.efficiency ?? input.assumedEfficiency ?? Number.NaN;
  return {
    mapSpeed: (answer.correctedSpeedRpm ?? Number.NaN) / point.correctedSpeedRpm - 1,
    mapEfficiency: efficiency / point.efficiency - 1,
  };
}
