import { solveOperatingLine } from '../operating-line.ts';
import type { MatchInput, OperatingPointSolved } from '../types.ts';
import { CarPath, NO_READINGS } from './car-path.ts';

const RATE_HZ = 20;
/** 12.5 L of charge path, as on one 1.95-litre engine that was measured. */
const VOLUME_M3 = 0.0125;
const PROBE_S = 5;
const SPOOL_S = 0.5;
const IDLE_RPM = 900;
const NAMES =
  'Time [s],Engine speed [rpm],MAP [kPa],Turbo speed [rpm],Charge temperature [degC],Throttle [%],Barometer [kPa]';

/**
 * An invented log of the car as entered, to try the Log view with: engine off for 2 s, idle for 3 s, then twice a pull of 9 s with 5 s of idle
 * behind it. Made by the program's own relations with noise of usual sensors (shaft speed 0.15 %, pressure 0.7 kPa, temperature 0.3 K behind a
 * probe of 5 s) from a given seed, and one thing that differs from what is entered: from 3,500 to 4,500 rpm the volumetric efficiency falls by
 * 4 %, and stays so. null where the car has no operating line.
 */
export function demoLog(input: MatchInput, seed = 20): string | null {
  const speeds = Array.from({ length: 17 }, (_, i) => 2500 + 250 * i);
  const points = solveOperatingLine({ ...input, engineSpeedsRpm: speeds }).filter((point) => point.status === 'ok');
  const path = CarPath.of(input, input.ambient, VOLUME_M3);
  if (points.length < 5 || path === null) return null;
  const noise = gaussian(seed);
  const { pressurePa: barometer, temperatureK: air } = input.ambient;
  const day = { ambientPressurePa: barometer, ambientTemperatureK: air };
  const rows = ['Invented: made by the program from the demonstration car, with noise of usual sensors', NAMES];
  let [manifold, shaft, boost] = [barometer, 0, 0];
  let charge = air + 8;
  let probe = charge;
  for (let row = 0; row < 36 * RATE_HZ; row += 1) {
    const { rpm, goal } = asked(row / RATE_HZ, points);
    const before = manifold;
    if (goal === null) {
      // The throttle shuts faster than the shaft runs down.
      manifold += ((rpm === 0 ? barometer : 36e3) - manifold) / (0.12 * RATE_HZ);
      shaft += ((rpm === 0 ? 0 : 16e3) - shaft) / (0.9 * RATE_HZ);
      charge = air + 8;
      boost = 0;
    } else {
      // The turbo comes up to the line within a second or two; the charge path fills meanwhile.
      boost += (1 - boost) / (SPOOL_S * RATE_HZ);
      manifold = barometer + (goal - barometer) * boost;
      const rate = before < barometer ? 0 : (manifold - before) * RATE_HZ;
      const state = path.predict(
        { ...NO_READINGS, engineSpeedRpm: rpm, manifoldPressurePa: manifold, pressureRatePaPerS: rate, ...day },
        1 - 0.04 * Math.min(Math.max((rpm - 3500) / 1000, 0), 1),
      );
      // Below the map's lines the shaft is on its way to them.
      shaft = state?.shaftSpeedRpm ?? shaft + (45e3 - shaft) / (0.2 * RATE_HZ);
      charge = state?.manifoldTemperatureK ?? charge;
    }
    probe += (charge - probe) / (PROBE_S * RATE_HZ);
    rows.push(
      [
        (row / RATE_HZ).toFixed(2),
        (rpm === 0 ? 0 : rpm + 4 * noise()).toFixed(1),
        ((manifold + 700 * noise()) / 1000).toFixed(2),
        (shaft * (1 + 0.0015 * noise())).toFixed(0),
        (probe - 273.15 + 0.3 * noise()).toFixed(2),
        goal !== null ? '100' : rpm === 0 ? '0' : '3',
        ((barometer + 30 * noise()) / 1000).toFixed(2),
      ].join(','),
    );
  }
  return `${rows.join('\n')}\n`;
}

/** What the driver asks for at a time: engine speed, and the line's manifold pressure in a pull. */
function asked(t: number, points: readonly OperatingPointSolved[]): { rpm: number; goal: number | null } {
  const inPull = (t - 5) % 14;
  if (t < 2) return { rpm: 0, goal: null };
  if (t < 5 || t >= 33 || inPull >= 9) return { rpm: IDLE_RPM, goal: null };
  const [first, last] = [points[0]!.engineSpeedRpm, points.at(-1)!.engineSpeedRpm];
  const rpm = first + ((last - first) * inPull) / 9;
  const at = Math.max(
    points.findIndex(({ engineSpeedRpm }) => engineSpeedRpm >= rpm),
    1,
  );
  const [a, b] = [points[at - 1]!, points[at]!];
  const share = (rpm - a.engineSpeedRpm) / (b.engineSpeedRpm - a.engineSpeedRpm);
  return { rpm, goal: a.manifoldPressurePa + share * (b.manifoldPressurePa - a.manifoldPressurePa) };
}

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
