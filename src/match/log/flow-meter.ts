import type { CompressorSurface } from '../../compressor/types.ts';
import { findRoot } from '../../numerics/index.ts';
import type { CarPath, RowReadings } from './car-path.ts';

/** ln(speed that the map has at a flow / speed measured); null off the map. Rises with the flow, but near surge on lines that rise there. */
export type SpeedExcess = (flow: number) => number | null;

const SETTLED = 1e-11;
const MOST_SECANTS = 8;
const NODES = 28;

/** Where a map's speed, at constant pressure ratio, does not rise with the flow: there one reading may mean several flows. */
export interface MeterCheck {
  /** A speed above this at the pressure ratio belongs to one flow alone. Corrected rpm; 0: every speed does. */
  singleAbove(pressureRatio: number): number;
}

const LEVELS = 48;
/** A little room, for the check is made on a grid. */
const ROOM = 1.01;

/** Looks once over a map for pressure ratios at which its speed falls with more flow. */
export function meterCheck(surface: CompressorSurface): MeterCheck {
  const least = 1.02;
  const step = (1.35 * surface.extent.maxPressureRatio - least) / (LEVELS - 1);
  const above = Float64Array.from({ length: LEVELS }, (_, i) => {
    const pressureRatio = least + i * step;
    const flows = flowNodes(surface, pressureRatio);
    let highest = 0;
    let last: number | null = null;
    let highestFallen = 0;
    for (const flow of flows) {
      const speed = surface.at(flow, pressureRatio).correctedSpeedRpm;
      if (speed !== null) {
        highest = Math.max(highest, speed);
        if (last !== null && speed < last * (1 + 1e-6)) highestFallen = highest;
      }
      last = speed;
    }
    return highestFallen * ROOM;
  });
  return {
    singleAbove: (pressureRatio) => {
      const at = Math.max(0, Math.min(LEVELS - 1.000001, (pressureRatio - least) / step));
      return Math.max(above[Math.floor(at)]!, above[Math.ceil(at)]!);
    },
  };
}

/** Flows to look at, from the least to the most that a map answers for at a pressure ratio: corrected, rising evenly in the logarithm. */
function flowNodes(surface: CompressorSurface, pressureRatio: number): number[] {
  const least = (surface.surgeFlowAt(pressureRatio) ?? surface.extent.maxFlowKgPerS * 0.1) * 0.6;
  const most = surface.extent.maxFlowKgPerS * 1.25;
  return Array.from({ length: NODES }, (_, i) => least * (most / least) ** (i / (NODES - 1)));
}

/**
 * All flows at which the map has the speed measured.
 * @param guess where the flow is expected; that root is found first
 * @param nodes flows between which further ones are looked for; none: the guess is known to be the only one
 * @returns rising; empty where there is none, and the map does not come near it either
 */
export function flowRoots(excess: SpeedExcess, guess: number, nodes: readonly number[]): number[] {
  const near = secant(excess, guess);
  if (near !== null && nodes.length === 0) return [near];
  const roots = near === null ? [] : [near];
  let [lastFlow, last] = [0, null as number | null];
  for (const flow of nodes) {
    const here = excess(flow);
    if (here !== null && last !== null && here * last <= 0) {
      const found = findRoot((W) => excess(W) ?? Number.NaN, lastFlow, flow, {
        fTolerance: SETTLED,
        xTolerance: 1e-14,
      });
      if (found.ok && !roots.some((root) => Math.abs(root / found.value - 1) < 1e-6)) roots.push(found.value);
    }
    [lastFlow, last] = [flow, here];
  }
  if (roots.length === 0) roots.push(...touching(excess, nodes));
  return roots.sort((a, b) => a - b);
}

/** A map's own misfit of speed: what the surface must pass its entered points by. */
const MISFIT = 0.003;

/**
 * Where the map's lines rise near surge, its speed has a least value over the flow at a pressure ratio. A speed measured just under that is
 * no other point: it is that least, missed by the map's own misfit. Its flow is the only reading there is, and says little of the flow.
 */
function touching(excess: SpeedExcess, nodes: readonly number[]): number[] {
  const at = nodes.map((flow) => excess(flow) ?? Number.POSITIVE_INFINITY);
  const lowest = at.reduce((best, y, i) => (y < at[best]! ? i : best), 0);
  if (!(lowest > 0 && lowest < nodes.length - 1 && at[lowest]! > 0 && at[lowest]! < 4 * MISFIT)) return [];
  let [low, high] = [nodes[lowest - 1]!, nodes[lowest + 1]!];
  for (let i = 0; i < 40; i++) {
    const [a, b] = [low + 0.382 * (high - low), low + 0.618 * (high - low)];
    if ((excess(a) ?? Number.POSITIVE_INFINITY) < (excess(b) ?? Number.POSITIVE_INFINITY)) high = b;
    else low = a;
  }
  const flow = (low + high) / 2;
  const least = excess(flow);
  return least !== null && least <= MISFIT ? [flow] : [];
}

function secant(excess: SpeedExcess, guess: number): number | null {
  let x = guess;
  let y = excess(x);
  if (y === null) return null;
  let nextX = x * (1 - Math.max(-0.05, Math.min(0.05, 2 * y)) || 1 + 1e-3);
  for (let i = 0; i < MOST_SECANTS; i++) {
    const nextY: number | null = excess(nextX);
    if (nextY === null) return null;
    if (Math.abs(nextY) < SETTLED) return nextX;
    const slope = (nextY - y) / (nextX - x);
    // A line that falls, or is flat, leads away: the scan is for those.
    if (!(slope * nextX > 0.02)) return null;
    [x, y] = [nextX, nextY];
    nextX = Math.max(0.7 * x, Math.min(1.4 * x, x - y / slope));
    if (Math.abs(nextX / x - 1) < 1e-13) return nextX;
  }
  return null;
}

/**
 * Flows through the compressor that the map allows for a row, kg/s, rising: all of them, with the losses of the row's own path.
 * @param guess where the flow is expected
 */
export function meteredFlows(path: CarPath, row: RowReadings, guess: number, check: MeterCheck): number[] {
  const { compressor } = path.line.input;
  const correctedSpeed = path.correctedSpeed(row);
  const memory = { outletK: path.inletTemperature(row) * 1.3 };
  const excess = (flow: number) => path.residual(row, correctedSpeed, flow, memory);
  const pressure = Number.isNaN(row.outletPressurePa) ? path.manifoldPressure(row) * 1.03 : row.outletPressurePa;
  const inlet = Number.isNaN(row.inletPressurePa) ? row.ambientPressurePa * 0.985 : row.inletPressurePa;
  const rough = pressure / inlet;
  const nodes = () => {
    const toMass =
      inlet /
      compressor.reference.pressurePa /
      Math.sqrt(path.inletTemperature(row) / compressor.reference.temperatureK);
    return flowNodes(compressor, rough).map((flow) => flow * toMass);
  };
  const isSingle = correctedSpeed > check.singleAbove(rough * 1.03) && correctedSpeed > check.singleAbove(rough * 0.97);
  const found = flowRoots(excess, guess, isSingle ? [] : nodes());
  return found.length > 0 || !isSingle ? found : flowRoots(excess, guess, nodes());
}

/**
 * The map alone as a flow meter: all corrected flows at which it has this corrected speed at this pressure ratio, rising; where it
 * only comes as near as 0.3 %, the flow at which it does; else empty. Exact to 1e-9 of the surface: how good that is decides.
 */
export function flowsAt(surface: CompressorSurface, correctedSpeedRpm: number, pressureRatio: number): number[] {
  const excess = (flow: number) => {
    const speed = surface.at(flow, pressureRatio).correctedSpeedRpm;
    return speed === null ? null : Math.log(speed / correctedSpeedRpm);
  };
  return flowRoots(excess, 0.6 * surface.extent.maxFlowKgPerS, flowNodes(surface, pressureRatio));
}

/** Slopes of the map at a point: of ln(corrected speed) over ln(corrected flow) at constant pressure ratio, and the other way. */
export function mapSlopes(
  path: CarPath,
  correctedFlow: number,
  pressureRatio: number,
): { a: number; b: number } | null {
  const step = 2e-3;
  const at = (f: number, p: number) =>
    path.readMap(correctedFlow * (1 + f), pressureRatio * (1 + p))?.correctedSpeedRpm;
  const here = at(0, 0);
  if (here === undefined) return null;
  const slope = (up: number | undefined, down: number | undefined) =>
    up === undefined && down === undefined
      ? null
      : Math.log((up ?? here) / (down ?? here)) / (step * (Number(up !== undefined) + Number(down !== undefined)));
  const a = slope(at(step, 0), at(-step, 0));
  const b = slope(at(0, step), at(0, -step));
  return a === null || b === null ? null : { a, b };
}
