import { type CandidatePath, type CandidateTurbine, fieldAt } from '../../../build/index.ts';
import type { DonorLikeness, SurfaceEstimate, WheelDoubt } from '../../../compressor/index.ts';
import type { ClaimBasis, ClaimCheck, MatchInput } from '../../../match/index.ts';
import { type ResultUnits, showLimit, showResult } from '../../../match/index.ts';
import { formatNumber, NO_BREAK_SPACE, REFERENCE_GAS_CONSTANT } from '../../../units/index.ts';
import { gainWords } from '../../shared/derivedRows.ts';

/** The check of a claim in plain words. */
interface ClaimWords {
  verdict: string;
  /** One line for each piece of evidence. */
  evidence: readonly string[];
  /** What the claim would be worth on this car; '' where that is not known. */
  worth: string;
}

const BASES: Readonly<Record<ClaimBasis, string>> = {
  'inducer-area': 'Inducer area, by the calipers',
  'exducer-area': 'Exducer area, by the calipers',
  'map-choke-flow': 'Choke flow of the two maps',
  'map-flow-at-goal': "Most flow of the two maps at the goal's pressure ratio",
  'power-at-ceiling': 'Power of the two before a limit is met',
};

const percent = (share: number, decimals = 0) => `${formatNumber(share * 100, decimals)}${NO_BREAK_SPACE}%`;
const signed = (share: number) => `${share > 0 ? '+' : ''}${percent(share, 0)}`;

/** @param letters of the candidate that is known and of the one that is claimed to give more */
export function claimWords(check: ClaimCheck, letters: readonly [string, string], units: ResultUnits): ClaimWords {
  const { claim, evidence } = check;
  const what = claim.kind === 'flow' ? 'air flow' : 'power';
  const claimed = `${percent(Math.abs(claim.gain), 1).replace('.0', '')} ${claim.gain < 0 ? 'less' : 'more'} ${what} than ${letters[0]}`;
  return {
    verdict: verdictWords(check, claimed),
    evidence: evidence.map(
      ({ basis, gain, estimated }) =>
        `${BASES[basis]}${units.several && basis !== 'power-at-ceiling' ? ', all turbos together' : ''}: ${gainWords({ value: gain.value + 1, plusMinus: gain.plusMinus })}${estimated ? ' (estimate)' : ''}`,
    ),
    worth: worthWords(check, units),
  };
}

function verdictWords({ verdict, range }: ClaimCheck, claimed: string): string {
  const between = range === null ? '' : `${signed(range[0])} to ${signed(range[1])}`;
  switch (verdict) {
    case 'no-evidence':
      return `${claimed}: nothing is measured or mapped here that could confirm or deny it. Measure both wheels.`;
    case 'within':
      return `${claimed}: can be. What is known here gives ${between}.`;
    case 'above':
      return `${claimed}: more than anything that is known here gives (${between}). Ask how it was measured.`;
    case 'below':
      return `${claimed}: less than what is known here gives (${between}).`;
  }
}

function worthWords({ claim, worthBrakePowerW, worthWheelPowerW, flowUsed }: ClaimCheck, units: ResultUnits): string {
  if (worthBrakePowerW === null || worthWheelPowerW === null) return '';
  const power = (watts: number) => showResult(watts, 'power', units, { signed: true });
  const worth = `On this car the whole of it would be worth ${power(worthBrakePowerW)} at the crankshaft, ${power(worthWheelPowerW)} at the wheels.`;
  if (flowUsed === null || flowUsed >= 1 || claim.gain <= 0) return worth;
  return `${worth} The goal uses ${percent(flowUsed)} of the air that the present one can pass: more flow alone is room, not power, until the goal is raised.`;
}

export const LIKENESS_WORDS: Readonly<Record<DonorLikeness, string>> = {
  near: 'near',
  fair: 'fair',
  far: 'far: hardly more than a guess',
};

/** What a scaled map is worth: how it was made, and within what the true one is expected to lie. */
export function bandWords({ band, sizeRatio, likeness }: SurfaceEstimate, donor: string): string {
  const change = sizeRatio - 1;
  const size =
    Math.abs(change) < 0.0005
      ? 'a wheel of the same size'
      : `a wheel ${percent(Math.abs(change), 1)} ${change > 0 ? 'larger' : 'smaller'}`;
  const guess = likeness === 'far' ? ' The two wheels have little in common: take it as a guess.' : '';
  return (
    `Estimate: “${donor}” scaled to ${size}. The true map is expected within ±${percent(band.surgeFlow)} of flow at surge, ` +
    `±${percent(band.chokeFlow)} at choke, ±${percent(band.pressureRatio, 1)} of pressure ratio, ` +
    `±${formatNumber(band.efficiency * 100, 1)} points of efficiency and ±${percent(band.correctedSpeed, 1)} of shaft speed.${guess}`
  );
}

/** What is doubtful with a measured wheel: what, and what to do. */
export function doubtWords(doubt: WheelDoubt, wheel: 'compressor' | 'turbine'): string {
  switch (doubt) {
    case 'swapped':
      return wheel === 'compressor'
        ? 'The inducer is larger than the exducer. On a compressor wheel the exducer is the larger one: swap the two.'
        : 'The exducer is larger than the inducer. On a turbine wheel the inducer is the larger one: swap the two.';
    case 'trim-unusual':
      return 'Such a trim is rare. Measure both diameters again, across opposite blades.';
    case 'tip-height-unusual':
      return 'Such a tip height is rare for this diameter. Measure it again, blade only.';
  }
}

type TurbineCapacity = NonNullable<MatchInput['turbine']>['capacity'];

/** The state that most sheets of turbines are corrected to; said beside the number. */
const REFERENCE = { temperatureK: 288.15, pressurePa: 101_325 };
/** Well up on the curve of a car's turbine, near choking. */
const EXPANSION_RATIO = 2;

/** The flow capacity of an estimated turbine, as the one number that can be held against a sheet, with its band. */
export function capacityWords(capacity: TurbineCapacity, units: ResultUnits): string {
  const parameterM2 = capacity.flowParameter(EXPANSION_RATIO, capacity.lines[0]?.reducedSpeed ?? 0);
  const { temperatureK, pressurePa } = REFERENCE;
  const flow = (parameterM2 * pressurePa) / Math.sqrt(REFERENCE_GAS_CONSTANT * temperatureK);
  const show = (kgPerS: number) => showResult(kgPerS, 'air-flow', units);
  const { band } = capacity;
  return (
    `Estimate: it passes ${show(flow)} at an expansion ratio of ${formatNumber(EXPANSION_RATIO, 0)}, ` +
    `±${formatNumber(band * 100, 0)}${NO_BREAK_SPACE}%: ${show(flow * (1 - band))} to ${show(flow * (1 + band))}. ` +
    `Corrected to ${showLimit(temperatureK, 'reference-temperature', units)} and ${showLimit(pressurePa, 'reference-pressure', units)}.`
  );
}

/** What was found of the turbine of one candidate, sorted to where it is said. */
export interface TurbineNotes {
  /** The message of a field of the section, 'turbine.efficiency.value'; null: there is none. */
  of(field: CandidatePath): string | null;
  /** What is still to be measured for the estimate, by name. */
  missing: readonly string[];
  /** What else stands in the way. */
  problems: readonly string[];
  /** Remarks that do not. */
  remarks: readonly string[];
}

/** Measurements that stand in other sections of the card. */
const MEASURED = ['wheels.turbine.inducer', 'wheels.turbine.exducer', 'housing.turbineAreaRadius'] as const;

/**
 * @param index of the candidate in its build
 * @param shown fields of the section that say their own messages
 */
export function turbineNotes(
  turbine: Pick<CandidateTurbine, 'problems' | 'notes'>,
  index: number,
  shown: readonly CandidatePath[],
): TurbineNotes {
  const start = `candidates[${index}].`;
  const own = (path: string) => (path.startsWith(start) ? path.slice(start.length) : path);
  const of = (field: string) =>
    turbine.problems
      .filter(({ path }) => own(path) === field)
      .map(({ message }) => message)
      .join(' ') || null;
  const elsewhere: readonly string[] = [...shown, ...MEASURED];
  return {
    of,
    missing: MEASURED.filter((field) => of(field) !== null).map((field) => fieldAt(`candidate.${field}`).name),
    problems: texts(turbine.problems.filter(({ path }) => !elsewhere.includes(own(path)))),
    remarks: texts(turbine.notes),
  };
}

/** Each message once. */
function texts(findings: readonly { message: string }[]): string[] {
  return [...new Set(findings.map(({ message }) => message))];
}
