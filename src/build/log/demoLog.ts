import { solveOperatingLine } from '../../match/index.ts';
import type { MatchInput, OperatingPointSolved } from '../../match/types.ts';
import { evaluateCurve } from '../../numerics/index.ts';

const RATE_HZ = 20;
/** 12.5 L of charge path, as on one 1.95-litre engine that was measured. */
const VOLUME_M3 = 0.0125;
const AIR_GAS_CONSTANT = 287.05;
const PROBE_S = 5;
const SPOOL_S = 0.5;

interface Instant {
  rpm: number;
  throttle: number;
  point: OperatingPointSolved | null;
}

/**
 * An invented log of the car as entered, to try the Log view with: engine off, idle, two pulls. Made by the program's own solver with noise of
 * usual sensors (shaft speed 0.15 %, pressure 0.7 kPa, temperature 0.3 K behind a probe of 5 s) from a given seed, and one thing that differs from
 * what is entered: from 3,500 to 4,500 rpm the volumetric efficiency falls by 4 %, and stays so. null where the car has no operating line.
 */
export function demoLog(input: MatchInput, seed = 20): string | null {
  const speeds = Array.from({ length: 17 }, (_, i) => 2500 + 250 * i);
  const entered = input.engine.volumetricEfficiency;
  const volumetricEfficiency = Array.from({ length: 46 }, (_, i) => 2000 + 100 * i).map((engineSpeedRpm) => ({
    engineSpeedRpm,
    value: (evaluateCurve(entered, engineSpeedRpm) ?? Number.NaN) * (1 - 0.04 * clamp((engineSpeedRpm - 3500) / 1000)),
  }));
  const car = { ...input, engine: { ...input.engine, volumetricEfficiency }, engineSpeedsRpm: speeds };
  const points = solveOperatingLine(car).filter((point): point is OperatingPointSolved => point.status === 'ok');
  if (points.length < 5) return null;
  const noise = gaussian(seed);
  const barometer = input.ambient.pressurePa;
  const rows: string[] = [
    'Invented: made by the program from the demonstration car, with noise of usual sensors',
    NAMES,
  ];
  let probe = input.ambient.temperatureK + 8;
  let boost = 0;
  let last = Number.NaN;
  let [shaft, manifold] = [0, barometer];
  for (let row = 0; row < 36 * RATE_HZ; row += 1) {
    const t = row / RATE_HZ;
    const { rpm, throttle, point } = instant(t, points);
    // The turbo comes up to the line within a second; the charge path fills meanwhile.
    boost = point === null ? 0 : boost + (1 - boost) / (SPOOL_S * RATE_HZ);
    const goal =
      point === null ? (rpm === 0 ? barometer : 36e3) : barometer + (point.manifoldPressurePa - barometer) * boost;
    // The throttle shuts faster than the shaft runs down.
    manifold = point === null ? manifold + (goal - manifold) / (0.12 * RATE_HZ) : goal;
    const filling =
      point === null || Number.isNaN(last)
        ? 0
        : (VOLUME_M3 * (manifold - last) * RATE_HZ) / (AIR_GAS_CONSTANT * point.manifoldTemperatureK);
    last = point === null ? Number.NaN : manifold;
    const idling = rpm === 0 ? 0 : 16e3;
    shaft = point === null ? shaft + (idling - shaft) / (0.9 * RATE_HZ) : shaftSpeed(input, point, manifold, filling);
    const charge = point === null ? input.ambient.temperatureK + 8 : point.manifoldTemperatureK;
    probe += (charge - probe) / (PROBE_S * RATE_HZ);
    rows.push(
      [
        t.toFixed(2),
        (rpm === 0 ? 0 : rpm + 4 * noise()).toFixed(1),
        ((manifold + 700 * noise()) / 1000).toFixed(2),
        (shaft * (1 + 0.0015 * noise())).toFixed(0),
        (probe - 273.15 + 0.3 * noise()).toFixed(2),
        (100 * throttle).toFixed(0),
        ((barometer + 30 * noise()) / 1000).toFixed(2),
      ].join(','),
    );
  }
  return `${rows.join('\n')}\n`;
}

const NAMES =
  'Time [s],Engine speed [rpm],MAP [kPa],Turbo speed [rpm],Charge temperature [degC],Throttle [%],Barometer [kPa]';

/** Off for 2 s, idle for 3 s, then twice a pull of 9 s with 5 s of idle behind it. */
function instant(t: number, points: readonly OperatingPointSolved[]): Instant {
  if (t < 2) return { rpm: 0, throttle: 0, point: null };
  const since = t - 5;
  const inPull = since % 14;
  if (since < 0 || since >= 28 || inPull >= 9) return { rpm: 900, throttle: 0.03, point: null };
  const [first, last] = [points[0]!.engineSpeedRpm, points.at(-1)!.engineSpeedRpm];
  const rpm = first + ((last - first) * inPull) / 9;
  const at = Math.max(
    points.findIndex(({ engineSpeedRpm }) => engineSpeedRpm >= rpm),
    1,
  );
  return { rpm, throttle: 1, point: between(points[at - 1]!, points[at]!, rpm) };
}

/** A point on the straight line between two. */
function between(a: OperatingPointSolved, b: OperatingPointSolved, rpm: number): OperatingPointSolved {
  const share = clamp((rpm - a.engineSpeedRpm) / (b.engineSpeedRpm - a.engineSpeedRpm));
  const mixed = Object.entries(a).map(([key, value]) => {
    const other = (b as unknown as Record<string, unknown>)[key];
    return [key, typeof value === 'number' && typeof other === 'number' ? value + share * (other - value) : value];
  });
  return { ...a, ...Object.fromEntries(mixed), engineSpeedRpm: rpm };
}

/** Where the compressor stands while the manifold is below the line and its volume fills. */
function shaftSpeed(
  { compressor }: MatchInput,
  point: OperatingPointSolved,
  manifold: number,
  filling: number,
): number {
  const share = manifold / point.manifoldPressurePa;
  const engine = point.correctedMassFlowKgPerS * share;
  const flow = engine * (1 + filling / Math.max(point.airMassFlowKgPerS * share, 1e-6));
  const { correctedSpeedRpm } = compressor.at(flow, Math.max(point.pressureRatio * share, 1.02));
  const speed = correctedSpeedRpm ?? point.correctedSpeedRpm;
  return (speed * point.shaftSpeedRpm) / point.correctedSpeedRpm;
}

const clamp = (share: number): number => Math.min(Math.max(share, 0), 1);

/** Normal deviates (Box and Muller) from a seeded generator (mulberry32): the same log every time. */
function gaussian(seed: number): () => number {
  let state = seed;
  const uniform = () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
  return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
}
