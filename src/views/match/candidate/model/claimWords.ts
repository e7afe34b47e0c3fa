import type { ClaimBasis, ClaimCheck } from '../../../../match/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../../units/index.ts';
import { gainWords } from '../../../shared/measuredWords.ts';
import { type ResultUnits, showResult } from '../../../shared/resultUnits.ts';

/** The check of a claim in plain words. */
export interface ClaimWords {
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
  const said = `${percent(Math.abs(claim.gain), 1).replace('.0', '')} ${claim.gain < 0 ? 'less' : 'more'} ${what} than ${letters[0]}`;
  return {
    verdict: verdictWords(check, said),
    evidence: evidence.map(
      ({ basis, gain, estimated }) =>
        `${BASES[basis]}: ${gainWords({ value: gain.value + 1, plusMinus: gain.plusMinus })}${estimated ? ' (estimate)' : ''}`,
    ),
    worth: worthWords(check, units),
  };
}

function verdictWords({ verdict, range }: ClaimCheck, said: string): string {
  const between = range === null ? '' : `${signed(range[0])} to ${signed(range[1])}`;
  switch (verdict) {
    case 'no-evidence':
      return `${said}: nothing is measured or mapped here that could confirm or deny it. Measure both wheels.`;
    case 'within':
      return `${said}: can be. What is known here gives ${between}.`;
    case 'above':
      return `${said}: more than anything that is known here gives (${between}). Ask how it was measured.`;
    case 'below':
      return `${said}: less than what is known here gives (${between}).`;
  }
}

function worthWords({ claim, worthBrakePowerW, worthWheelPowerW, flowUsed }: ClaimCheck, units: ResultUnits): string {
  if (worthBrakePowerW === null || worthWheelPowerW === null) return '';
  const power = (watts: number) => showResult(watts, 'power', units, { signed: true });
  const worth = `On this car the whole of it would be worth ${power(worthBrakePowerW)} at the crankshaft, ${power(worthWheelPowerW)} at the wheels.`;
  if (flowUsed === null || flowUsed >= 1 || claim.gain <= 0) return worth;
  return `${worth} The goal uses ${percent(flowUsed)} of the air that the present one can pass: more flow alone is room, not power, until the goal is raised.`;
}
