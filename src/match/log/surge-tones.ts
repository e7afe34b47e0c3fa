import { sampleQuantile } from '../../numerics/index.ts';
import type { LogFrame } from './log-frame.ts';
import type { RoadLogPull, SurgeSearch } from './result-types.ts';

const WINDOW_S = 1;
const HOP_S = 0.25;
const FROM_HZ = 5;
const TO_HZ = 20;
const STEP_HZ = 0.5;
const LEAST_AMPLITUDE = 0.003;
const TIMES_USUAL = 5;
/** Fewer rows in a window show no tone. */
const LEAST_PER_WINDOW = 14;

/**
 * Swings of the shaft speed at 5 to 20 Hz, the band in which surge of a turbocharger on an engine shows (Galindo et al. 2013, doi
 * 10.1111/j.1747-1567.2010.00697.x), in Hann windows of a second, a parabola taken off: amplitude of ln N over 0.3 % and over five times that
 * of the pull's quieter windows (the lower quartile, so that surge through most of a pull does not hide itself; never asked to be more than
 * 0.8 %). Judged on the shaft alone: pulses of the cylinders reach the manifold pressure and fold into any band of a slow log.
 */
export function surgeTones(frame: LogFrame, pulls: readonly RoadLogPull[]): SurgeSearch {
  const shaft = frame.channels.get('shaftSpeed');
  const engineSpeed = frame.channels.get('engineSpeed');
  const { timeS, stepS } = frame;
  if (shaft === undefined || engineSpeed === undefined || timeS === null || stepS === null)
    return { seesToHz: null, found: [] };
  const length = Math.round(WINDOW_S / stepS);
  const seesToHz = Math.min(TO_HZ, 0.5 / stepS);
  if (length < LEAST_PER_WINDOW || seesToHz <= FROM_HZ) return { seesToHz: null, found: [] };
  const found: SurgeSearch['found'][number][] = [];
  pulls.forEach((pull, number) => {
    if (!pull.used) return;
    const hop = Math.max(1, Math.round(HOP_S / stepS));
    const windows: { from: number; tone: Tone }[] = [];
    for (let from = pull.fromRow; from + length <= pull.toRow; from += hop) {
      const tone = strongestTone(shaft, timeS, from, length, seesToHz);
      if (tone !== null) windows.push({ from, tone });
    }
    const usual = sampleQuantile(Float64Array.from(windows, ({ tone }) => tone.amplitude).sort(), 0.25);
    const least = Math.max(LEAST_AMPLITUDE, Math.min(TIMES_USUAL * usual, 0.008));
    for (const { from, tone } of windows) {
      if (!(tone.amplitude > least)) continue;
      const before = found.at(-1);
      const to = from + length;
      if (before !== undefined && before.pull === number && from <= before.toRow) {
        found[found.length - 1] = {
          ...(tone.amplitude > before.amplitude ? { ...before, ...tone } : before),
          toRow: to,
        };
      } else
        found.push({
          pull: number,
          fromRow: from,
          toRow: to,
          engineSpeedRpm: engineSpeed[from + (length >> 1)]!,
          ...tone,
        });
    }
  });
  return { seesToHz, found };
}

interface Tone {
  frequencyHz: number;
  amplitude: number;
}

function strongestTone(
  shaft: Float64Array,
  timeS: Float64Array,
  from: number,
  length: number,
  toHz: number,
): Tone | null {
  const t = Float64Array.from({ length }, (_, i) => timeS[from + i]! - timeS[from]!);
  const y = Float64Array.from({ length }, (_, i) => Math.log(shaft[from + i]!));
  // A spike that was taken out is bridged: a window would else be lost for one reading.
  for (let i = 1; i < length - 1; i++) if (Number.isNaN(y[i]!)) y[i] = (y[i - 1]! + y[i + 1]!) / 2;
  if (!y.every(Number.isFinite) || !(t[length - 1]! > 0)) return null;
  withoutParabola(y);
  const weights = Float64Array.from({ length }, (_, i) => 1 - Math.cos((2 * Math.PI * (i + 0.5)) / length));
  const whole = weights.reduce((sum, w) => sum + w, 0);
  let best: Tone = { frequencyHz: FROM_HZ, amplitude: 0 };
  // At the highest frequency the log shows, both parts of the wave are not told apart: half a step below it is the last.
  for (let hz = FROM_HZ; hz <= toHz - STEP_HZ / 2; hz += STEP_HZ) {
    let [re, im] = [0, 0];
    for (let i = 0; i < length; i++) {
      const phase = 2 * Math.PI * hz * t[i]!;
      re += weights[i]! * y[i]! * Math.cos(phase);
      im += weights[i]! * y[i]! * Math.sin(phase);
    }
    const amplitude = (2 * Math.hypot(re, im)) / whole;
    if (amplitude > best.amplitude) best = { frequencyHz: hz, amplitude };
  }
  return best;
}

/** Takes a parabola off in place, by least squares over even steps. */
function withoutParabola(y: Float64Array): void {
  const n = y.length;
  const x = (i: number) => (2 * i) / (n - 1) - 1;
  let [m2, m4] = [0, 0];
  for (let i = 0; i < n; i++) {
    m2 += x(i) ** 2 / n;
    m4 += x(i) ** 4 / n;
  }
  // 1, x and x^2 - m2 are orthogonal.
  let [c0, c1, c2] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    c0 += y[i]! / n;
    c1 += (y[i]! * x(i)) / n / m2;
    c2 += (y[i]! * (x(i) ** 2 - m2)) / n / (m4 - m2 * m2);
  }
  for (let i = 0; i < n; i++) y[i]! -= c0 + c1 * x(i) + c2 * (x(i) ** 2 - m2);
}
