import { referTo } from '../../compressor/index.ts';
import type { CompressorSurface, Measured } from '../../compressor/types.ts';
import { findRoot } from '../../numerics/index.ts';
import { lineModel } from '../line-model.ts';
import { shaftSpeedLimit } from '../operating-line.ts';
import { extremeOf } from '../results.ts';
import type { MatchInput, OperatingPointSolved } from '../types.ts';
import { ceilingPoints, solvedOf, turbosOf } from './comparison-rows.ts';
import type { Claim, ClaimCheck, ClaimEvidence, ClaimSources, SolvedCandidate } from './types.ts';

/** What reading a choke end off a sheet may be off, each map (common practice, no source). */
const MAP_READING = 0.01;

/**
 * A claimed gain ('flows 17 % more') against everything that is known here: what the areas of the measured wheels give, what the two
 * maps pass at most and at the goal's pressure ratio (at one reference state, within each one's rated speed), and for power the ceilings.
 * A claim within the evidence and its widths is 'within'. That flow goes with inducer and exducer area is common practice, no source.
 *
 * @param claim gain as a share
 * @param sources what there is of both candidates; whatever is null gives no evidence
 * @returns the evidence, the verdict, and what the whole gain would be worth at the crankshaft and the wheels of this car: its present
 *   peak power times the gain, because power goes with air flow at the same lambda and bsfc
 */
export function checkClaim(claim: Claim, sources: ClaimSources): ClaimCheck {
  // Two turbos pass twice what one does; the ceilings know how many there are.
  const turbos = turbosOf(sources.b) / turbosOf(sources.a);
  const ofAll = [...wheelEvidence(sources), ...mapEvidence(sources)].map((found) => timesTurbos(found, turbos));
  const evidence = [...ofAll, ...ceilingEvidence(claim, sources)];
  const range =
    evidence.length === 0
      ? null
      : ([
          Math.min(...evidence.map(({ gain }) => gain.value - gain.plusMinus)),
          Math.max(...evidence.map(({ gain }) => gain.value + gain.plusMinus)),
        ] as const);
  const peak = sources.a === null ? null : peakPoint(sources.a);
  return {
    claim,
    evidence,
    range,
    verdict: verdict(claim.gain, range),
    worthBrakePowerW: peak && claim.gain * peak.brakePowerW,
    worthWheelPowerW: peak && claim.gain * peak.wheelPowerW,
    flowUsed: sources.a === null || peak === null ? null : flowUsed(sources.a, peak),
  };
}

function verdict(gain: number, range: readonly [number, number] | null): ClaimCheck['verdict'] {
  if (range === null) return 'no-evidence';
  if (gain < range[0]) return 'below';
  return gain > range[1] ? 'above' : 'within';
}

const peakPoint = (c: SolvedCandidate) => extremeOf(solvedOf(c.points), 'brakePowerW', 'highest')?.point ?? null;

/** A ratio as a gain, with its width. */
function gainOf(ratio: Measured): Measured {
  return { value: ratio.value - 1, plusMinus: ratio.plusMinus };
}

function timesTurbos(found: ClaimEvidence, turbos: number): ClaimEvidence {
  const { value, plusMinus } = found.gain;
  return turbos === 1 ? found : { ...found, gain: { value: (1 + value) * turbos - 1, plusMinus: plusMinus * turbos } };
}

function wheelEvidence({ ratios }: ClaimSources): ClaimEvidence[] {
  const found: ClaimEvidence[] = [];
  if (ratios?.inducerArea) found.push({ basis: 'inducer-area', gain: gainOf(ratios.inducerArea), estimated: false });
  if (ratios?.exducerArea) found.push({ basis: 'exducer-area', gain: gainOf(ratios.exducerArea), estimated: false });
  return found;
}

/** Both maps at the reference state of the first: corrected flow means nothing else. */
function mapEvidence({ a, b }: ClaimSources): ClaimEvidence[] {
  if (a === null || b === null) return [];
  const first = a.input.compressor;
  const second = referTo(b.input.compressor, first.reference);
  const speeds = [highestSpeed(a.input, first), highestSpeed(b.input, second)] as const;
  const width = readingWidth(first) + readingWidth(second);
  const estimated = first.estimate !== undefined || second.estimate !== undefined;
  const found: ClaimEvidence[] = [];
  const add = (basis: ClaimEvidence['basis'], was: number | null, now: number | null) => {
    if (was === null || now === null) return;
    found.push({ basis, gain: { value: now / was - 1, plusMinus: (now / was) * width }, estimated });
  };
  add('map-choke-flow', chokeFlow(first, speeds[0]), chokeFlow(second, speeds[1]));
  const pressureRatio = peakPoint(a)?.pressureRatio;
  if (pressureRatio !== undefined) {
    add(
      'map-flow-at-goal',
      flowCapacity(first, pressureRatio, speeds[0]),
      flowCapacity(second, pressureRatio, speeds[1]),
    );
  }
  return found;
}

function readingWidth({ estimate }: CompressorSurface): number {
  return Math.max(MAP_READING, estimate?.band.chokeFlow ?? 0);
}

/** The rated speed of the day as a corrected speed of the surface; without one the top line. */
function highestSpeed(input: MatchInput, surface: CompressorSurface): number {
  const limit = shaftSpeedLimit(input);
  const factor = lineModel({ ...input, compressor: surface })?.speedFactor;
  return limit === undefined || factor === undefined ? surface.highestLineRpm : limit / factor;
}

function chokeFlow(surface: CompressorSurface, highestRpm: number): number | null {
  return surface.chokeAt(Math.min(highestRpm, surface.highestLineRpm))?.correctedMassFlowKgPerS ?? null;
}

function ceilingEvidence(claim: Claim, { a, b }: ClaimSources): ClaimEvidence[] {
  if (claim.kind !== 'power' || a === null || b === null) return [];
  const was = extremeOf(ceilingPoints(a), 'brakePowerW', 'highest')?.value;
  const now = extremeOf(ceilingPoints(b), 'brakePowerW', 'highest')?.value;
  if (was === undefined || now === undefined) return [];
  const width = readingWidth(a.input.compressor) + readingWidth(b.input.compressor);
  const estimated = a.input.compressor.estimate !== undefined || b.input.compressor.estimate !== undefined;
  return [{ basis: 'power-at-ceiling', gain: { value: now / was - 1, plusMinus: (now / was) * width }, estimated }];
}

function flowUsed(candidate: SolvedCandidate, peak: OperatingPointSolved): number | null {
  const surface = candidate.input.compressor;
  const most = flowCapacity(surface, peak.pressureRatio, highestSpeed(candidate.input, surface));
  return most === null ? null : peak.correctedMassFlowKgPerS / most;
}

/**
 * The most flow that a map passes at a pressure ratio without going over a corrected speed, in corrected kg/s at the map's own
 * reference: where its choke end has that pressure ratio, or, higher up, where its fastest line has it.
 *
 * @param pressureRatio over 1
 * @param highestRpm corrected; beyond the top entered line that line is taken, so that nothing extended counts
 * @returns null where the pressure ratio is not reached, or lies below the choke end of the lowest answer
 */
export function flowCapacity(surface: CompressorSurface, pressureRatio: number, highestRpm: number): number | null {
  const top = Math.min(highestRpm, surface.highestLineRpm);
  const choke = surface.chokeAt(top);
  const surge = surface.surgeAt(top);
  if (choke === null || surge === null || !(pressureRatio > 1)) return null;
  if (pressureRatio <= choke.pressureRatio) {
    const speed = findRoot(
      (rpm) => (surface.chokeAt(rpm)?.pressureRatio ?? Number.NaN) - pressureRatio,
      surface.lowestAnswerRpm,
      top,
      { fTolerance: 1e-9 },
    );
    return speed.ok ? (surface.chokeAt(speed.value)?.correctedMassFlowKgPerS ?? null) : null;
  }
  return flowOnLine(surface, top, pressureRatio);
}

/** Where a line has a pressure ratio, farthest from surge: a line may rise before it falls. */
function flowOnLine(surface: CompressorSurface, rpm: number, pressureRatio: number): number | null {
  const steps = 64;
  const over = (beta: number) => (surface.on(rpm, beta)?.pressureRatio ?? Number.NaN) - pressureRatio;
  for (let i = steps - 1; i >= 0; i--) {
    const beta = i / steps;
    if (!(over(beta) >= 0)) continue;
    const root = findRoot(over, beta, beta + 1 / steps, { fTolerance: 1e-9 });
    return root.ok ? (surface.on(rpm, root.value)?.correctedMassFlowKgPerS ?? null) : null;
  }
  return null;
}
