import type { Ambient } from '../types.ts';
import type { LogFrame } from './log-frame.ts';
import type { RoadLogPull } from './result-types.ts';

const FULL_THROTTLE = 0.9;
const LEAST_RPM = 800;
const LEAST_S = 1.5;
const LEAST_ROWS = 5;
/** Engine speed below its highest so far by this share: the pull has ended. */
const FALLEN = 0.03;
/** Below this no engine runs under load. */
const RUNNING_RPM = 800;
const ENVELOPE_STEP_RPM = 250;

/**
 * Full-throttle pulls: runs of rows with the throttle at 90 % or more in which the engine speed does not fall 3 % below its highest, and
 * that rise by 800 rpm or last 1.5 s. Without a throttle the manifold pressure must be near ambient or above, and within 90 % of the log's
 * highest at that engine speed in at least five rows: a log that never sees full throttle may then look like one that does. Steps of a
 * dynamometer at full load count.
 */
export function findPulls(frame: LogFrame, ambient: Ambient): Omit<RoadLogPull, 'used'>[] {
  const engineSpeed = frame.channels.get('engineSpeed');
  const pressure = frame.channels.get('manifoldPressure');
  if (engineSpeed === undefined || pressure === undefined) return [];
  const load = loadOf(frame, engineSpeed, pressure, ambient.pressurePa);
  const starts = new Set(frame.sessions);
  const pulls: Omit<RoadLogPull, 'used'>[] = [];
  let from = -1;
  let highest = 0;
  const end = (to: number) => {
    if (from >= 0) pulls.push(...pullOf(frame, engineSpeed, pressure, load, from, to));
    from = -1;
  };
  for (let i = 0; i < frame.rows; i++) {
    const n = engineSpeed[i]!;
    if (from >= 0 && (starts.has(i) || n < (1 - FALLEN) * highest)) end(i);
    if (!load.may(i)) {
      // A single reading that is missing does not end a pull.
      if (!Number.isNaN(n) && !Number.isNaN(pressure[i]!)) end(i);
      continue;
    }
    if (from < 0) {
      from = i;
      highest = 0;
    }
    highest = Math.max(highest, n);
  }
  end(frame.rows);
  return pulls;
}

/** Whether a row may belong to a pull, and whether it is surely at full load. */
interface Load {
  may: (row: number) => boolean;
  surely: (row: number) => boolean;
}

function loadOf(frame: LogFrame, engineSpeed: Float64Array, pressure: Float64Array, ambientPa: number): Load {
  const throttle = frame.channels.get('throttle');
  const running = (i: number) => engineSpeed[i]! >= RUNNING_RPM;
  if (throttle !== undefined) {
    const open = (i: number) => running(i) && throttle[i]! >= FULL_THROTTLE;
    return { may: open, surely: open };
  }
  const envelope: number[] = [];
  const binOf = (i: number) => Math.floor(engineSpeed[i]! / ENVELOPE_STEP_RPM);
  for (let i = 0; i < frame.rows; i++) {
    if (running(i)) envelope[binOf(i)] = Math.max(envelope[binOf(i)] ?? 0, pressure[i]! || 0);
  }
  // While the turbo spools up, boost lies far below what another pull has at this engine speed.
  const reaches = (i: number, share: number) =>
    pressure[i]! >= Math.max(0.95 * ambientPa, share * (envelope[binOf(i)] ?? 0));
  return { may: (i) => running(i) && reaches(i, 0.5), surely: (i) => running(i) && reaches(i, 0.9) };
}

function pullOf(
  frame: LogFrame,
  engineSpeed: Float64Array,
  pressure: Float64Array,
  load: Load,
  from: number,
  to: number,
): Omit<RoadLogPull, 'used'>[] {
  const shaft = frame.channels.get('shaftSpeed');
  const highestOf = (values: Float64Array | undefined) => {
    let most = Number.NaN;
    for (let i = from; values !== undefined && i < to; i++)
      if (!(values[i]! <= most) && !Number.isNaN(values[i]!)) most = values[i]!;
    return most;
  };
  const toRpm = highestOf(engineSpeed);
  let fromRpm = toRpm;
  for (let i = from; i < to; i++) if (engineSpeed[i]! < fromRpm) fromRpm = engineSpeed[i]!;
  const durationS = frame.timeS === null ? null : frame.timeS[to - 1]! - frame.timeS[from]!;
  let sure = 0;
  for (let i = from; i < to; i++) sure += Number(load.surely(i));
  const isPull = sure >= LEAST_ROWS && (toRpm - fromRpm >= LEAST_RPM || (durationS ?? 0) >= LEAST_S);
  if (!isPull) return [];
  const highestShaft = highestOf(shaft);
  return [
    {
      fromRow: from,
      toRow: to,
      fromRpm,
      toRpm,
      durationS,
      highestManifoldPressurePa: highestOf(pressure),
      highestShaftSpeedRpm: Number.isNaN(highestShaft) ? null : highestShaft,
    },
  ];
}
