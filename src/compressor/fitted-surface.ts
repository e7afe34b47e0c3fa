import type { Boundary } from './boundary.ts';
import type { EfficiencyField } from './efficiency-field.ts';
import type { PolarPoint, SpeedField } from './speed-field.ts';
import type { CompressorSurface, FlowAndRatio, MapRegion, ReferenceState, SurfaceAt, SurfaceOn } from './types.ts';

/** How far an answer is given beyond the surge line and the choke end, as a share of their flow. */
const LEAST_SHARE_OF_SURGE_FLOW = 0.6;
const MOST_SHARE_OF_CHOKE_FLOW = 1.05;
/** A speed within this of the top or lowest line is on it: the pass tolerance of the fit. */
const SPEED_ROOM = 0.003;
/** Share of flow and of head within which a point counts as on the boundary, besides the sheet's own rounding. */
const BOUNDARY_ROOM = 0.004;

export interface SurfaceParts {
  reference: ReferenceState;
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
    if (!field.holds(polar)) return OUTSIDE;
    const speed = field.speedAt(polar.angle, polar.size);
    if (!(speed >= this.lowestAnswerRpm && speed <= this.highestAnswerRpm)) return OUTSIDE;
    const least = surge.flowAt(speed);
    const most = choke.flowAt(speed);
    if (flow < LEAST_SHARE_OF_SURGE_FLOW * least || flow > MOST_SHARE_OF_CHOKE_FLOW * most) return OUTSIDE;
    const region = this.regionOf(polar, speed, this.parts.relativeRounding(flow, pressureRatio));
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
  private regionOf(polar: PolarPoint, speed: number, rounding: number): MapRegion {
    const room = (Math.sin(Math.PI * polar.angle) / Math.PI) * (BOUNDARY_ROOM + rounding);
    if (polar.angle > this.parts.surge.angleAt(speed) + room) return 'left-of-surge';
    if (polar.angle < this.parts.choke.angleAt(speed) - room) return 'right-of-choke';
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
   * Pressure ratio at a flow on a speed line: the angle at which the line's flow is the wanted one. Along a line flow falls as the angle
   * rises, on flat, rising and near-vertical parts alike; where a measured line doubles back the part next to surge is taken.
   */
  private ratioOn(speedRpm: number, flow: number): number | null {
    const { field } = this.parts;
    let low = 1;
    let high = 1 + (this.extent.maxPressureRatio - 1) * 2.2;
    const speedAt = (ratio: number): number | null => {
      const polar = this.parts.place(flow, ratio);
      return field.holds(polar) ? field.speedAt(polar.angle, polar.size) : null;
    };
    // Speed rises with pressure ratio at constant flow. Beyond the tables on the low side is choke, on the high side surge or overspeed.
    let fLow: number | null = null;
    let fHigh: number | null = null;
    for (let i = 0; i < 80; i++) {
      let next = 0.5 * (low + high);
      if (fLow !== null && fHigh !== null && i % 3 !== 2) next = low + ((high - low) * -fLow) / (fHigh - fLow);
      const speed = speedAt(next);
      if (speed === null) {
        if (this.parts.place(flow, next).angle < 0.5 * (this.angleSpan.from + this.angleSpan.to)) low = next;
        else high = next;
        continue;
      }
      const f = speed / speedRpm - 1;
      if (Math.abs(f) < 1e-11 || high - low < 1e-13) return next;
      if (f < 0) {
        low = next;
        fLow = f;
      } else {
        high = next;
        fHigh = f;
      }
    }
    return fLow !== null && fHigh !== null && fHigh - fLow < 1e-6 ? 0.5 * (low + high) : null;
  }

  private get angleSpan(): { from: number; to: number } {
    return this.parts.field.angles;
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
    const size = this.parts.field.sizeOf(angle, speed);
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
