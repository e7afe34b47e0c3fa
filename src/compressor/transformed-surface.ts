import { findRoot, memory } from '../numerics/index.ts';
import type { SurfaceEstimate, SurfaceTransform } from './scaling.ts';
import type { CompressorSurface, FlowAndRatio, SurfaceAt, SurfaceOn } from './types.ts';

/** Flows at surge and choke over corrected speed; NaN where the surface does not know them. */
export interface LineEnds {
  surge(speedRpm: number): number;
  choke(speedRpm: number): number;
}

const STEPS = 512;

const made = memory<CompressorSurface, LineEnds>();
/** Says what to do, not what came of it: no memory. */
const makers = new WeakMap<CompressorSurface, () => LineEnds>();

/**
 * The line ends of a surface as a table, linear between its rows: a twentieth of the time of asking the surface, and within a
 * hundred-thousandth or so of it, a thousandth of any estimate's band. Made once a surface.
 */
export function lineEnds(surface: CompressorSurface): LineEnds {
  return made(surface, [], () => makers.get(surface)?.() ?? tabulated(surface));
}

/** A surface made from another one takes its ends from the other's table: there and back is then the same flow to the last digits. */
export function deriveLineEnds(surface: CompressorSurface, make: () => LineEnds): void {
  makers.set(surface, make);
}

function tabulated(surface: CompressorSurface): LineEnds {
  const { lowestAnswerRpm, highestAnswerRpm } = surface;
  const perStepRpm = (highestAnswerRpm - lowestAnswerRpm) / STEPS;
  const surge = new Float64Array(STEPS + 1);
  const choke = new Float64Array(STEPS + 1);
  for (let i = 0; i <= STEPS; i++) {
    const speed = i === STEPS ? highestAnswerRpm : lowestAnswerRpm + i * perStepRpm;
    surge[i] = surface.surgeAt(speed)?.correctedMassFlowKgPerS ?? Number.NaN;
    choke[i] = surface.chokeAt(speed)?.correctedMassFlowKgPerS ?? Number.NaN;
  }
  const read = (table: Float64Array, speedRpm: number): number => {
    const at = (speedRpm - lowestAnswerRpm) / perStepRpm;
    const row = Math.min(STEPS - 1, Math.max(0, Math.floor(at)));
    const low = table[row] as number;
    return low + (at - row) * ((table[row + 1] as number) - low);
  };
  return { surge: (speedRpm) => read(surge, speedRpm), choke: (speedRpm) => read(choke, speedRpm) };
}

const OUTSIDE: SurfaceAt = { region: 'outside', correctedSpeedRpm: null, efficiency: null, beta: null, extended: true };
/** Beyond surge and choke end the donor answers a little farther; beta there lies within this. */
const BETA_ROOM = 0.6;
/** Flows closer than this, as a share, are the same. */
const ROUNDING = 1e-13;

export interface TransformedParts extends SurfaceTransform {
  source: CompressorSurface;
  /** Speeds of the source above this are not answered for; left out: all that it answers for. */
  highestSourceRpm?: number | undefined;
  limits: CompressorSurface['limits'];
  wheel: CompressorSurface['wheel'];
  /** Where it is an estimate: every answer is marked then. */
  estimate?: SurfaceEstimate | undefined;
}

/**
 * A surface seen through factors: speeds by one, flow by one at surge and one at choke, linear in beta between them; pressure ratio and
 * efficiency as they are. With flow = s Ws + beta (c Wc - s Ws) on every line, beta stays what it is on the source, linear in flow, so
 * that both directions are exact inverses of each other.
 */
export class TransformedSurface implements CompressorSurface {
  readonly reference: CompressorSurface['reference'];
  readonly hasEfficiency: boolean;
  readonly lowestLineRpm: number;
  readonly highestLineRpm: number;
  readonly lowestAnswerRpm: number;
  readonly highestAnswerRpm: number;
  readonly extent: CompressorSurface['extent'];
  readonly limits: CompressorSurface['limits'];
  readonly wheel: CompressorSurface['wheel'];
  readonly estimate?: SurfaceEstimate | undefined;
  readonly #parts: TransformedParts;
  readonly #isUniform: boolean;
  #ends: LineEnds | null = null;
  readonly #highestSourceRpm: number;

  constructor(parts: TransformedParts) {
    const { source, speedFactor, surgeFlowFactor, chokeFlowFactor } = parts;
    this.#parts = parts;
    this.#isUniform = surgeFlowFactor === chokeFlowFactor;
    this.reference = parts.reference;
    this.hasEfficiency = source.hasEfficiency;
    this.lowestLineRpm = source.lowestLineRpm * speedFactor;
    this.highestLineRpm = source.highestLineRpm * speedFactor;
    this.lowestAnswerRpm = source.lowestAnswerRpm * speedFactor;
    this.#highestSourceRpm = parts.highestSourceRpm ?? source.highestAnswerRpm;
    this.highestAnswerRpm = this.#highestSourceRpm * speedFactor;
    this.extent = {
      maxFlowKgPerS: source.extent.maxFlowKgPerS * Math.max(surgeFlowFactor, chokeFlowFactor),
      maxPressureRatio: source.extent.maxPressureRatio,
    };
    this.limits = parts.limits;
    this.wheel = parts.wheel;
    if (parts.estimate !== undefined) this.estimate = parts.estimate;
    deriveLineEnds(this, () => {
      const ends = lineEnds(source);
      return {
        surge: (speedRpm) => surgeFlowFactor * ends.surge(speedRpm / speedFactor),
        choke: (speedRpm) => chokeFlowFactor * ends.choke(speedRpm / speedFactor),
      };
    });
  }

  at(correctedMassFlowKgPerS: number, pressureRatio: number): SurfaceAt {
    const { source, surgeFlowFactor, speedFactor } = this.#parts;
    const flow = this.#isUniform
      ? correctedMassFlowKgPerS / surgeFlowFactor
      : this.#sourceFlow(correctedMassFlowKgPerS, pressureRatio);
    const found = flow === null ? OUTSIDE : source.at(flow, pressureRatio);
    const speed = found.correctedSpeedRpm;
    if (speed === null || speed > this.#highestSourceRpm) return this.#marked(OUTSIDE);
    return this.#marked({ ...found, correctedSpeedRpm: speed * speedFactor });
  }

  on(correctedSpeedRpm: number, beta: number): SurfaceOn | null {
    const speed = this.#sourceSpeed(correctedSpeedRpm);
    const found = speed === null ? null : this.#parts.source.on(speed, beta);
    const flow = speed === null || found === null ? null : this.flowFromSource(found.correctedMassFlowKgPerS, speed);
    return found === null || flow === null ? null : this.#marked({ ...found, correctedMassFlowKgPerS: flow });
  }

  surgeAt(correctedSpeedRpm: number): FlowAndRatio | null {
    const speed = this.#sourceSpeed(correctedSpeedRpm);
    return speed === null ? null : scaled(this.#parts.source.surgeAt(speed), this.#parts.surgeFlowFactor);
  }

  chokeAt(correctedSpeedRpm: number): FlowAndRatio | null {
    const speed = this.#sourceSpeed(correctedSpeedRpm);
    return speed === null ? null : scaled(this.#parts.source.chokeAt(speed), this.#parts.chokeFlowFactor);
  }

  surgeFlowAt(pressureRatio: number): number | null {
    const flow = this.#parts.source.surgeFlowAt(pressureRatio);
    return flow === null ? null : flow * this.#parts.surgeFlowFactor;
  }

  /**
   * Flow here of a flow on a speed line of the source.
   * @returns null where the source does not know the ends of the line
   */
  flowFromSource(sourceFlowKgPerS: number, sourceSpeedRpm: number): number | null {
    const { source, surgeFlowFactor: s, chokeFlowFactor: c } = this.#parts;
    if (this.#isUniform) return sourceFlowKgPerS * s;
    this.#ends ??= lineEnds(source);
    const least = this.#ends.surge(sourceSpeedRpm);
    const most = this.#ends.choke(sourceSpeedRpm);
    if (!(most > least)) return null;
    return s * least + ((sourceFlowKgPerS - least) / (most - least)) * (c * most - s * least);
  }

  /** null outside the answers; the ends of the range are the source's own to the last digit. */
  #sourceSpeed(correctedSpeedRpm: number): number | null {
    const { source, speedFactor } = this.#parts;
    if (!(correctedSpeedRpm >= this.lowestAnswerRpm && correctedSpeedRpm <= this.highestAnswerRpm)) return null;
    const speed = correctedSpeedRpm / speedFactor;
    return Math.min(Math.max(speed, source.lowestAnswerRpm), this.#highestSourceRpm);
  }

  /** The flow on the source at the same pressure ratio that becomes `flow` here; null where the source does not answer. */
  #sourceFlow(flow: number, pressureRatio: number): number | null {
    const { source, surgeFlowFactor: s, chokeFlowFactor: c } = this.#parts;
    if (!(flow > 0 && pressureRatio > 1)) return null;
    const error = (sourceFlow: number): number => {
      const speed = source.at(sourceFlow, pressureRatio).correctedSpeedRpm;
      const here = speed === null ? null : this.flowFromSource(sourceFlow, speed);
      return here === null ? Number.NaN : here / flow - 1;
    };
    const near = nearRoot(error, flow / Math.sqrt(s * c));
    if (near !== null) return near;
    // The share of flow to source flow lies between the two factors on the map, and a little beyond them off its ends.
    const room = 1 + BETA_ROOM * Math.abs(c / s - 1);
    const bracket = answered(error, flow / (Math.max(s, c) * room), (flow / Math.min(s, c)) * room);
    if (bracket === null) return null;
    const root = findRoot(error, bracket[0], bracket[1], { fTolerance: ROUNDING, xTolerance: 1e-15 });
    return root.ok ? root.value : null;
  }

  #marked<T extends SurfaceAt | SurfaceOn>(answer: T): T {
    return this.estimate === undefined ? answer : { ...answer, estimated: true };
  }
}

function scaled(end: FlowAndRatio | null, factor: number): FlowAndRatio | null {
  return end && { ...end, correctedMassFlowKgPerS: end.correctedMassFlowKgPerS * factor };
}

/**
 * The root by secant steps in the logarithm: flow here is so nearly proportional to flow there that a handful is enough. null where a
 * step leaves the map or they do not settle; then the whole range is searched.
 */
function nearRoot(error: (flow: number) => number, start: number): number | null {
  let before = start;
  let errorBefore = error(before);
  let flow = start / (1 + errorBefore);
  for (let i = 0; i < 8 && Number.isFinite(errorBefore); i++) {
    if (Math.abs(errorBefore) <= ROUNDING) return before;
    const now = error(flow);
    const slope = Math.log(flow / before) / (Math.log1p(now) - Math.log1p(errorBefore));
    const next = flow * Math.exp(-slope * Math.log1p(now));
    [before, errorBefore, flow] = [flow, now, next];
  }
  return null;
}

/**
 * Two neighbouring flows between which the error changes sign. The source does not answer everywhere between the ends, so that they are
 * approached in steps; null where there is no change of sign among its answers.
 */
function answered(error: (flow: number) => number, low: number, high: number): readonly [number, number] | null {
  const steps = 16;
  let before: { flow: number; error: number } | null = null;
  for (let i = 0; i <= steps; i++) {
    const flow = low * (high / low) ** (i / steps);
    const value = error(flow);
    if (Number.isNaN(value)) continue;
    if (value === 0) return [flow, flow];
    if (before !== null && before.error < 0 !== value < 0) return [before.flow, flow];
    before = { flow, error: value };
  }
  return null;
}
