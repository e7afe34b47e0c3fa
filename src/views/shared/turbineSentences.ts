import { type ResultUnits, resultUnits, type Shown, showResult } from '../../match/index.ts';
import { formatNumber, formatQuantity, NO_BREAK_SPACE } from '../../units/index.ts';

export type Values = Readonly<Record<string, number>>;

interface Where {
  /** 'At 6,400 rpm ' with the space behind it, or ''. */
  at: string;
  /** 'from 5,800 to 6,800 rpm', 'at 6,400 rpm' or ''. */
  range: string;
}

/** How a finding's code is put in words. */
export interface FindingSentence {
  say: (values: Values, units: ResultUnits, where: Where) => string;
  /** Opens the second sentence, that says over which engine speeds it holds: 'Over its limit' + ' from 6,000 to 6,800 rpm.' */
  extent?: string;
}

/** Of what is written alike in all units that can be chosen. */
const UNITS = resultUnits({});
export const percent = (share: number | undefined, decimals = 1) =>
  `${formatNumber((share ?? Number.NaN) * 100, decimals)}${NO_BREAK_SPACE}%`;
export const ratio = (value: number | undefined) => showResult(value, 'pressure-ratio', UNITS);
export const rpm = (value: number | undefined) => showResult(value, 'threshold-speed', UNITS);
export const heat = (kelvin: number | undefined, units: ResultUnits) => showResult(kelvin, 'temperature', units);
export const past = (v: Values) => `${percent(v.wastegateShare)} of the exhaust`;
const opening = (si: number | undefined, units: ResultUnits) => showResult(si, 'opening', units);
/** Diameter of a round hole of an effective area, at the flow coefficient that the field starts with. */
const hole = (areaM2: number | undefined, { system }: ResultUnits) =>
  formatQuantity(
    Math.sqrt((4 * (areaM2 ?? Number.NaN)) / (0.7 * Math.PI)),
    'wheel-length',
    system === 'us' ? 'in' : 'mm',
    {
      decimals: system === 'us' ? 2 : 1,
    },
  );

export const held =
  (curve: string, value: (values: Values, units: ResultUnits) => string): FindingSentence['say'] =>
  (values, units, { range }) =>
    `${curve} is entered from ${formatNumber(values.firstPointRpm ?? Number.NaN, 0)} to ` +
    `${formatNumber(values.lastPointRpm ?? Number.NaN, 0)}${NO_BREAK_SPACE}rpm; ${range} its last value${value(values, units)} is kept.`;

/** '62 kPa of boost instead of 110 kPa': what the exhaust drives of the goal, in the goal's own quantity. */
function reached(v: Values, units: ResultUnits): string {
  const of = (is: number | undefined, asked: number | undefined, shown: Shown, what: string) =>
    `${showResult(is, shown, units)}${what} instead of ${showResult(asked, shown, units)}`;
  if (v.boostPa !== undefined) return of(v.boostPa, v.goalBoostPa, 'boost', ' of boost');
  if (v.pressurePa !== undefined) return of(v.pressurePa, v.goalPressurePa, 'absolute-pressure', ' absolute');
  return v.brakePowerW === undefined
    ? of(v.wheelPowerW, v.goalWheelPowerW, 'power', ' at the wheels')
    : of(v.brakePowerW, v.goalBrakePowerW, 'power', ' at the crankshaft');
}

const gateOf = ({ turbos }: Values) => (turbos === undefined ? 'the wastegate' : 'the wastegate of each turbo');

/** '903 °C to 919 °C', '912 °C' where they read the same. */
function heatRange(v: Values, u: ResultUnits): string {
  const [low, high] = [heat(v.lowestK, u), heat(v.highestK, u)];
  return low === high ? low : `${low} to ${high}`;
}

/** What is said of the turbine, its gate and what the exhaust drives. */
export const TURBINE_SENTENCES: Readonly<Record<string, FindingSentence>> = {
  'turbine-heat': {
    say: (v, u, { at }) =>
      `${at}the exhaust enters the turbine at ${v.estimated === 1 ? 'an estimated ' : ''}${heat(v.temperatureK, u)}, more than many wheels and housings bear. Enter the maker's limit and keep to it.`,
    extent: 'So hot',
  },
  'turbine-limited': {
    say: (v, u, { at }) =>
      `${at}the gate is shut and the exhaust drives ${reached(v, u)}${v.choked === 1 ? '; the turbine is choked' : ''}.`,
    extent: 'Turbine-limited',
  },
  'turbine-never-holds': {
    say: (v, u, { at }) =>
      `${v.heldRpm === undefined ? '' : `over ${rpm(v.heldRpm)} `}the exhaust drives the full goal at no engine speed up to ${rpm(v.highestRpm)}. ${at}it falls farthest short: ${reached(v, u)}. Ask for less, or try a smaller turbine.`,
  },
  'boost-threshold': {
    say: (v, u) =>
      v.below === 1
        ? `the exhaust drives the goal already at ${rpm(v.thresholdRpm)}, the lowest engine speed that has a point.`
        : `from about ${rpm(v.thresholdRpm)} up the exhaust drives the goal (boost threshold).${
            v.shortRpm === undefined ? '' : ` At ${rpm(v.shortRpm)} it drives ${reached(v, u)}.`
          }`,
  },
  'no-gate': {
    say: (v, _u, { at }) =>
      `${at}the boost rises over the goal: there is no gate to let ${past(v)} past the turbine. Points are computed at the goal.`,
    extent: 'So',
  },
  'gate-creep': {
    say: (v, u, { at }) => {
      const area =
        v.neededM2 === undefined
          ? 'no gate is large enough for a goal without compression'
          : `it opens ${opening(v.areaM2, u)} effective, the goal takes ${opening(v.neededM2, u)}`;
      return `${at}${gateOf(v)} is wide open and the boost creeps to ${reached(v, u)}: ${area}. No controller brings it down; enlarge the gate or ask for more.`;
    },
    extent: 'Boost creep',
  },
  'gate-nearly-open': {
    say: (v, u, { at }) =>
      `${at}${gateOf(v)} opens to ${percent(v.opening, 0)} of its effective area (${opening(v.neededM2, u)} of ${opening(v.areaM2, u)}). A flow coefficient is known to a fifth: the boost may creep over the goal.`,
    extent: 'So',
  },
  'gate-area': {
    say: (v, u, { at }) =>
      v.areaM2 === undefined || !Number.isFinite(v.areaM2)
        ? `${at}${gateOf(v)} must open furthest: an effective area of ${opening(v.neededM2, u)}, such as a hole of ${hole(v.neededM2, u)} at a flow coefficient of 0.7. Its size is not entered, so whether it can is not checked.`
        : `${at}${gateOf(v)} must open furthest: to ${opening(v.neededM2, u)} of its effective area of ${opening(v.areaM2, u)}.`,
  },
  'gate-nearly-shut': {
    say: (v, _u, { at }) =>
      `${at}(peak power) only ${past(v)} goes past the turbine: next to nothing in hand for hotter or thinner air.`,
  },
  'wastegate-flow-fraction': {
    say: (v, _u, { at }) =>
      `${at}(peak power) ${past(v)} goes past the turbine: in hand for more boost, at more back-pressure.`,
  },
  'turbine-choked': {
    say: (v, _u, { at }) =>
      `${at}the turbine is choked at an expansion ratio of ${ratio(v.expansionRatio)}: it takes more exhaust only against more pressure.`,
    extent: 'Choked',
  },
  'turbine-estimated': {
    say: (v) =>
      `the flow capacity of the turbine is estimated from measurements and may be ${percent(v.band, 0)} off; so may threshold and back-pressure.`,
  },
  'turbine-extended': {
    say: (v, _u, { at }) =>
      v.lastExpansionRatio === undefined
        ? `${at}the turbine's capacity is read outside its points, at an expansion ratio of ${ratio(v.expansionRatio)}.`
        : `${at}the expansion ratio is ${ratio(v.expansionRatio)}, past the last point of the turbine's capacity at ${ratio(v.lastExpansionRatio)}: less certain there.`,
    extent: 'Extended',
  },
  'turbine-temperature-estimated': {
    say: (v, u) =>
      `the turbine inlet temperature is estimated from fuel, lambda and bsfc: ${heatRange(v, u)}. Enter a measured one if there is one.`,
  },
  'peak-back-pressure': {
    say: (v, u, { at }) =>
      `${at}the back-pressure ratio is highest: ${ratio(v.backPressureRatio)}, with ${showResult(v.turbineInletPressurePa, 'absolute-pressure', u)} absolute before the turbine (expansion ratio ${ratio(v.expansionRatio)}).${
        v.unusual === 1
          ? ' More than most engines bear for long: heat, knock, exhaust valves. Enter a limit for it.'
          : ''
      }`,
  },
  'no-turbine': {
    say: () =>
      'no turbine is computed, so nothing can be said about boost threshold, back-pressure and whether the exhaust drives this boost.',
  },
  'curve-held-turbine-temperature': {
    say: held('the turbine inlet temperature', (v, u) => `, ${heat(v.value, u)},`),
  },
};
