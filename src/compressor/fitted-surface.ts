import { findRoot, MonotoneCurve } from '../numerics/index.ts';
import type { EfficiencyField } from './efficiency-field.ts';
import { angleOf, type PolarPoint, pressureRatioOf, rootHead, type SimilarityScale } from './similarity.ts';
import type { SpeedField } from './speed-field.ts';
import type {
  CompressorSurface,
  FlowAndRatio,
  MapPolyline,
  MapRegion,
  ReferenceState,
  SurfaceAt,
  SurfaceOn,
} from './types.ts';

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

/** Distances of a point from surge and choke, as shares; null where the surface does not know the boundary there. */
export interface MapMargins {
  /** (PRs / PR)(W / Ws) - 1 against the surge end of the speed line through the point (NASA and AGARD form, from memory). */
  surgeMargin: number | null;
  /** 1 - Ws(PR) / W: how far the flow may fall at this pressure ratio. */
  surgeFlowDistance: number | null;
  /** 1 - W / Wchoke against the choke end, as the sheet draws it, of the same speed line. */
  chokeMargin: number | null;
}

/**
 * Margins of a point at a corrected speed.
 * @param correctedSpeedRpm the surface's own answer for the point.
 */
export function mapMargins(
  surface: CompressorSurface,
  correctedSpeedRpm: number,
  correctedMassFlowKgPerS: number,
  pressureRatio: number,
): MapMargins {
  const surge = surface.surgeAt(correctedSpeedRpm);
  const choke = surface.chokeAt(correctedSpeedRpm);
  const surgeFlow = surface.surgeFlowAt(pressureRatio);
  return {
    surgeMargin:
      surge && (surge.pressureRatio / pressureRatio) * (correctedMassFlowKgPerS / surge.correctedMassFlowKgPerS) - 1,
    surgeFlowDistance: surgeFlow === null ? null : 1 - surgeFlow / correctedMassFlowKgPerS,
    chokeMargin: choke && 1 - correctedMassFlowKgPerS / choke.correctedMassFlowKgPerS,
  };
}

/** Places along a line for drawing, closer towards choke where lines grow steep: 0..1. */
function alongLine(count: number): number[] {
  return Array.from({ length: count }, (_, i) => 1 - (1 - i / (count - 1)) ** 2.5);
}

/**
 * A speed line of the surface in data units, surge to choke, sampled so that straight segments look smooth.
 * @param correctedSpeedRpm within the surface's answer range; else null.
 */
export function speedLine(surface: CompressorSurface, correctedSpeedRpm: number, count = 48): MapPolyline | null {
  const points: FlowAndRatio[] = [];
  for (const beta of alongLine(count)) {
    const on = surface.on(correctedSpeedRpm, beta);
    if (on) points.push({ correctedMassFlowKgPerS: on.correctedMassFlowKgPerS, pressureRatio: on.pressureRatio });
  }
  const extended =
    correctedSpeedRpm > surface.highestLineRpm * 1.003 || correctedSpeedRpm < surface.lowestLineRpm * 0.997;
  return points.length < 2 ? null : { points, extended };
}

/**
 * The surge line or the choke end in data units: one piece between the lowest and the top line, and the pieces by which similarity
 * extends it, marked so.
 */
export function boundaryLine(surface: CompressorSurface, end: 'surge' | 'choke'): MapPolyline[] {
  const piece = (from: number, to: number, count: number, extended: boolean): MapPolyline => ({
    points: Array.from({ length: count }, (_, i) => from + ((to - from) * i) / (count - 1)).flatMap((speed) => {
      const at = end === 'surge' ? surface.surgeAt(speed) : surface.chokeAt(speed);
      return at ? [at] : [];
    }),
    extended,
  });
  const { lowestAnswerRpm, lowestLineRpm, highestLineRpm, highestAnswerRpm } = surface;
  return [
    piece(lowestAnswerRpm, lowestLineRpm, 12, true),
    piece(lowestLineRpm, highestLineRpm, 64, false),
    piece(highestLineRpm, highestAnswerRpm, 8, true),
  ].filter((line) => line.points.length >= 2);
}

/** How far an answer is given beyond the surge line and the choke end, as a share of their flow. */
const LEAST_SHARE_OF_SURGE_FLOW = 0.6;
const MOST_SHARE_OF_CHOKE_FLOW = 1.05;
/** A speed within this of the top or lowest line is on it: the pass tolerance of the fit. */
const SPEED_ROOM = 0.003;
/** Share of flow and of head within which a point counts as on the boundary, besides the sheet's own rounding. */
const BOUNDARY_ROOM = 0.004;

export interface SurfaceParts {
  reference: ReferenceState;
  scale: SimilarityScale;
  field: SpeedField;
  efficiency: EfficiencyField | null;
  efficiencyFromIslandsOnly: boolean;
  surge: Boundary;
  choke: Boundary;
  place: (flowKgPerS: number, pressureRatio: number) => PolarPoint;
  pointAt: (angle: number, size: number) => FlowAndRatio;
  /** Relative rounding steps of flow and root head at a place, added up. */
  relativeRounding: (flowKgPerS: number, pressureRatio: number) => number;
  lowestLineRpm: number;
  highestLineRpm: number;
  lowestAnswerRpm: number;
  highestAnswerRpm: number;
  extent: { maxFlowKgPerS: number; maxPressureRatio: number };
  limits: CompressorSurface['limits'];
  wheel: CompressorSurface['wheel'];
}

/** Relative error of speed to which a point is brought onto its line; a jump where the tables end is not chased to the last digit. */
const ON_LINE = { fTolerance: 1e-11, xTolerance: 1e-13, maxIterations: 60 };

const OUTSIDE: SurfaceAt = { region: 'outside', correctedSpeedRpm: null, efficiency: null, beta: null, extended: true };

export class FittedSurface implements CompressorSurface {
  readonly reference: ReferenceState;
  readonly hasEfficiency: boolean;
  readonly lowestLineRpm: number;
  readonly highestLineRpm: number;
  readonly lowestAnswerRpm: number;
  readonly highestAnswerRpm: number;
  readonly extent: CompressorSurface['extent'];
  readonly limits: CompressorSurface['limits'];
  readonly wheel: CompressorSurface['wheel'];
  private readonly parts: SurfaceParts;
  /** Pressure ratios of the surge line at even steps of speed. */
  private surgeRatios: Float64Array | null = null;

  constructor(parts: SurfaceParts) {
    this.parts = parts;
    this.reference = parts.reference;
    this.hasEfficiency = parts.efficiency !== null;
    this.lowestLineRpm = parts.lowestLineRpm;
    this.highestLineRpm = parts.highestLineRpm;
    this.lowestAnswerRpm = parts.lowestAnswerRpm;
    this.highestAnswerRpm = parts.highestAnswerRpm;
    this.extent = parts.extent;
    this.limits = parts.limits;
    this.wheel = parts.wheel;
  }

  at(correctedMassFlowKgPerS: number, pressureRatio: number): SurfaceAt {
    const flow = correctedMassFlowKgPerS;
    if (!(flow > 0 && pressureRatio > 1 && flow < Number.MAX_VALUE && pressureRatio < 100)) return OUTSIDE;
    const { field, surge, choke, efficiency } = this.parts;
    const polar = this.parts.place(flow, pressureRatio);
    if (!field.holds(polar.angle, polar.size)) return OUTSIDE;
    const speed = field.speedAt(polar.angle, polar.size);
    if (!(speed >= this.lowestAnswerRpm && speed <= this.highestAnswerRpm)) return OUTSIDE;
    const least = surge.flowAt(speed);
    const most = choke.flowAt(speed);
    if (flow < LEAST_SHARE_OF_SURGE_FLOW * least || flow > MOST_SHARE_OF_CHOKE_FLOW * most) return OUTSIDE;
    const region = this.regionOf(polar, speed, flow, pressureRatio);
    const known = efficiency === null || !this.parts.efficiencyFromIslandsOnly || efficiency.covers(polar);
    return {
      region,
      correctedSpeedRpm: speed,
      efficiency: efficiency === null ? null : efficiency.at(polar),
      beta: (flow - least) / (most - least),
      extended: region !== 'inside' || !known,
    };
  }

  /** By angle, not by flow: on a near-vertical choke part the flow alone does not tell the two sides of the end apart. */
  private regionOf({ angle }: PolarPoint, speed: number, flow: number, pressureRatio: number): MapRegion {
    const surge = this.parts.surge.angleAt(speed);
    const choke = this.parts.choke.angleAt(speed);
    // Only for what is over an end does it matter how much room the reading leaves it.
    if (angle > surge || angle < choke) {
      const rounding = this.parts.relativeRounding(flow, pressureRatio);
      const room = (Math.sin(Math.PI * angle) / Math.PI) * (BOUNDARY_ROOM + rounding);
      if (angle > surge + room) return 'left-of-surge';
      if (angle < choke - room) return 'right-of-choke';
    }
    if (speed > this.highestLineRpm * (1 + SPEED_ROOM)) return 'above-top-line';
    if (speed < this.lowestLineRpm * (1 - SPEED_ROOM)) return 'below-lowest-line';
    return 'inside';
  }

  on(correctedSpeedRpm: number, beta: number): SurfaceOn | null {
    const speed = correctedSpeedRpm;
    if (!(speed >= this.lowestAnswerRpm && speed <= this.highestAnswerRpm && beta >= 0 && beta <= 1)) return null;
    const point = beta === 1 ? this.chokeAt(speed) : this.between(speed, beta);
    if (point === null) return null;
    const { correctedMassFlowKgPerS: flow, pressureRatio } = point;
    const polar = this.parts.place(flow, pressureRatio);
    const efficiency = this.parts.efficiency;
    const entered = speed >= this.lowestLineRpm * (1 - SPEED_ROOM) && speed <= this.highestLineRpm * (1 + SPEED_ROOM);
    const known = efficiency === null || !this.parts.efficiencyFromIslandsOnly || efficiency.covers(polar);
    return {
      correctedMassFlowKgPerS: flow,
      pressureRatio,
      efficiency: efficiency === null ? null : efficiency.at(polar),
      extended: !entered || !known,
    };
  }

  private between(speed: number, beta: number): FlowAndRatio | null {
    const least = this.parts.surge.flowAt(speed);
    const flow = least + beta * (this.parts.choke.flowAt(speed) - least);
    const pressureRatio = this.ratioOn(speed, flow);
    return pressureRatio === null ? null : { correctedMassFlowKgPerS: flow, pressureRatio };
  }

  /**
   * Pressure ratio at a flow on a speed line: the root head at which the line's flow is the wanted one. At constant flow speed rises with
   * head, on flat, rising and near-vertical parts alike; where a measured line doubles back the part next to surge is taken. The rays of
   * the line's two ends bracket it; both are read from tables, so right at an end they may just miss, and the search widens.
   */
  private ratioOn(speedRpm: number, flow: number): number | null {
    const { field, scale, surge, choke } = this.parts;
    const x = flow / scale.flowPerRpm;
    const excess = (y: number): number => {
      const angle = angleOf(x, y);
      const size = Math.sqrt(x * x + y * y) / scale.topRpm;
      // Beyond the tables on the low side is choke, on the high side surge or overspeed.
      if (!field.holds(angle, size)) return angle < 0.5 * (field.angles.from + field.angles.to) ? -1 : 1;
      return field.speedAt(angle, size) / speedRpm - 1;
    };
    const headOn = (angle: number): number => x * Math.tan((angle * Math.PI) / 2);
    const near = findRoot(excess, headOn(choke.angleAt(speedRpm)), headOn(surge.angleAt(speedRpm)), ON_LINE);
    const highest = rootHead(1 + (this.extent.maxPressureRatio - 1) * 2.2) / scale.rootHeadPerRpm;
    const solved = near.ok ? near : findRoot(excess, 0, highest, ON_LINE);
    // A jump from off the tables to on them also changes sign, and is no root.
    if (!solved.ok || Math.abs(excess(solved.value)) > 1e-6) return null;
    return pressureRatioOf(solved.value * scale.rootHeadPerRpm);
  }

  surgeAt(correctedSpeedRpm: number): FlowAndRatio | null {
    return this.endAt(correctedSpeedRpm, this.parts.surge);
  }

  chokeAt(correctedSpeedRpm: number): FlowAndRatio | null {
    return this.endAt(correctedSpeedRpm, this.parts.choke);
  }

  /** The end as drawn, found along its angle: exact on near-vertical choke parts, where a flow alone does not say which pressure. */
  private endAt(speed: number, end: Boundary): FlowAndRatio | null {
    if (!(speed >= this.lowestAnswerRpm && speed <= this.highestAnswerRpm)) return null;
    const angle = end.angleAt(speed);
    const { field, scale } = this.parts;
    // The table of flows is within some millionths of the end: from there the search takes three readings of the field.
    const guess = end.flowAt(speed) / (scale.flowPerRpm * scale.topRpm * Math.cos((angle * Math.PI) / 2));
    const size = field.sizeNear(angle, speed, guess) ?? field.sizeOf(angle, speed);
    return size === null ? null : this.parts.pointAt(angle, size);
  }

  surgeFlowAt(pressureRatio: number): number | null {
    this.surgeRatios ??= this.tabulateSurgeRatios();
    const ratios = this.surgeRatios;
    const last = ratios.length - 1;
    if (!(pressureRatio >= ratios[0]! && pressureRatio <= ratios[last]!)) return null;
    let low = 0;
    let high = last;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (ratios[middle]! <= pressureRatio) low = middle;
      else high = middle;
    }
    const step = (this.highestAnswerRpm - this.lowestAnswerRpm) / last;
    const share = (pressureRatio - ratios[low]!) / (ratios[high]! - ratios[low]! || 1);
    return this.parts.surge.flowAt(this.lowestAnswerRpm + (low + share) * step);
  }

  private tabulateSurgeRatios(): Float64Array {
    const count = 161;
    const ratios = new Float64Array(count);
    for (let i = 0; i < count; i++) {
      const share = i / (count - 1);
      const speed = this.lowestAnswerRpm + share * (this.highestAnswerRpm - this.lowestAnswerRpm);
      const end = this.surgeAt(speed);
      ratios[i] = Math.max(end?.pressureRatio ?? 0, i > 0 ? ratios[i - 1]! : 1);
    }
    return ratios;
  }
}
