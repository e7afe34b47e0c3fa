import { MonotoneCurve } from '../numerics/index.ts';
import type { SpeedField } from './speed-field.ts';

/** One place where the surge line or the choke end was read: its angle at a corrected speed, and how far the reading may be off. */
export interface BoundaryReading {
  speedRpm: number;
  angle: number;
  /** Half the rounding step, in angle. */
  room: number;
}

/**
 * The kinks that rounding puts into a boundary are taken out by moving every reading towards its neighbours' line, but never out of
 * its own rounding box: what was read stays true.
 */
function relax(readings: readonly BoundaryReading[]): number[] {
  const angle = readings.map((r) => r.angle);
  for (let sweep = 0; sweep < 30; sweep++) {
    for (let i = 1; i < angle.length - 1; i++) {
      const before = readings[i - 1]!;
      const here = readings[i]!;
      const after = readings[i + 1]!;
      const share = (here.speedRpm - before.speedRpm) / (after.speedRpm - before.speedRpm);
      const straight = angle[i - 1]! + share * (angle[i + 1]! - angle[i - 1]!);
      const wanted = angle[i]! + 0.5 * (straight - angle[i]!);
      angle[i] = Math.max(here.angle - here.room, Math.min(here.angle + here.room, wanted));
    }
  }
  return angle;
}

/** Readings in rising speed, those at (nearly) the same speed replaced by their mean. */
function merge(readings: readonly BoundaryReading[]): BoundaryReading[] {
  const sorted = [...readings].sort((a, b) => a.speedRpm - b.speedRpm);
  const merged: BoundaryReading[] = [];
  let group: BoundaryReading[] = [];
  const flush = () => {
    if (group.length === 0) return;
    const mean = (of: (r: BoundaryReading) => number) => group.reduce((sum, r) => sum + of(r), 0) / group.length;
    merged.push({ speedRpm: mean((r) => r.speedRpm), angle: mean((r) => r.angle), room: mean((r) => r.room) });
    group = [];
  };
  for (const reading of sorted) {
    if (group.length > 0 && reading.speedRpm > group[0]!.speedRpm * 1.002) flush();
    group.push(reading);
  }
  flush();
  return merged;
}

const NODES = 81;

/**
 * Flow along the surge line or the choke end over corrected speed. Held as an angle over speed (well-conditioned on flat and on vertical
 * parts), constant below the lowest reading as similarity has it, and turned once into flow on a fine grid of speeds.
 */
export class Boundary {
  private readonly curve: MonotoneCurve;
  private readonly lowestRpm: number;
  private readonly fromRpm: number;
  private readonly stepRpm: number;
  /** Flow per speed at the nodes. */
  private readonly coefficient = new Float64Array(NODES);

  constructor(
    readings: readonly BoundaryReading[],
    field: SpeedField,
    flowOf: (angle: number, size: number) => number,
    fromRpm: number,
    toRpm: number,
  ) {
    const nodes = merge(readings);
    this.curve = new MonotoneCurve(
      nodes.map((n) => n.speedRpm),
      relax(nodes),
    );
    this.lowestRpm = nodes[0]!.speedRpm;
    this.fromRpm = fromRpm;
    this.stepRpm = (toRpm - fromRpm) / (NODES - 1);
    let known = 0;
    for (let i = 0; i < NODES; i++) {
      const speed = fromRpm + i * this.stepRpm;
      const angle = this.angleAt(speed);
      const size = field.sizeOf(angle, speed);
      // Past the tables the flow coefficient of the last speed stands: similarity again.
      if (size !== null) known = flowOf(angle, size) / speed;
      this.coefficient[i] = known;
    }
  }

  /** Angle of the boundary at a speed. */
  angleAt(speedRpm: number): number {
    return this.curve.at(Math.max(speedRpm, this.lowestRpm));
  }

  /** Corrected flow, kg/s, at a speed within the range; cubic between the nodes (Catmull-Rom). */
  flowAt(speedRpm: number): number {
    const c = this.coefficient;
    const t = (speedRpm - this.fromRpm) / this.stepRpm;
    const i = Math.max(0, Math.min(NODES - 2, Math.floor(t)));
    const u = t - i;
    const p1 = c[i]!;
    const p2 = c[i + 1]!;
    const p0 = i > 0 ? c[i - 1]! : 2 * p1 - p2;
    const p3 = i < NODES - 2 ? c[i + 2]! : 2 * p2 - p1;
    const value = p1 + 0.5 * u * (p2 - p0 + u * (2 * p0 - 5 * p1 + 4 * p2 - p3 + u * (3 * (p1 - p2) + p3 - p0)));
    return value * speedRpm;
  }
}
