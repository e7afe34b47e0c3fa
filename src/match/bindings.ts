import { LIMIT_KEYS, LIMITS, type LimitHatch, type LimitKey } from './limits.ts';
import { REASON_MESSAGES } from './operating-line.ts';
import type { BindingLimit, NoPointReason } from './types.ts';

/* Look and words of what stands in the way of more boost, for the studies. */

/** How a binding looks on charts and on paper. */
interface BindingLook {
  /** On charts and in legends: 'Shaft speed'. */
  name: string;
  /** Where room is short; left out: the name. */
  short?: string;
  /** One or two letters for a cell of the table. */
  letter: string;
  /** What its letter stands for where several share it; left out: the name. */
  group?: string;
  /** What holds a boost down, in a sentence: 'the shaft reaches its limit'. */
  reason: string;
  hatch: LimitHatch;
  /** Never the hue of a candidate: those are kept for candidates. */
  colour: 'stop' | 'caution' | 'good' | 'ink' | 'faint';
}

interface LimitWords extends Omit<BindingLook, 'name' | 'hatch' | 'group'> {
  /** Why no boost at all holds it, one plain sentence. */
  noneHolds: string;
}

/** What the studies say of each limit. */
const WORDS: Readonly<Record<LimitKey, LimitWords>> = {
  'shaft-speed': {
    letter: 'N',
    reason: 'the shaft reaches its limit less the reserve',
    noneHolds: 'At no boost does the shaft stay under its limit here.',
    colour: 'stop',
  },
  'surge-margin': {
    letter: 'S',
    reason: 'the surge margin is used up',
    noneHolds: 'At no boost does this compressor keep its surge margin here: the engine draws too little air.',
    colour: 'ink',
  },
  'choke-margin': {
    letter: 'C',
    reason: 'the choke margin is used up',
    noneHolds: 'At no boost does this compressor keep its choke margin here: the engine draws too much air.',
    colour: 'ink',
  },
  'outlet-temperature': {
    letter: 'T',
    reason: 'the compressor outlet reaches its temperature limit',
    noneHolds: 'At no boost does the compressor outlet stay under its temperature limit here.',
    colour: 'caution',
  },
  'manifold-pressure': {
    letter: 'P',
    reason: 'the manifold pressure reaches its limit',
    noneHolds: 'The limit of manifold pressure is below what the engine draws without the compressor.',
    colour: 'stop',
  },
  'brake-power': {
    letter: 'W',
    reason: 'the power at the crankshaft reaches its limit',
    noneHolds: 'The power limit is below what the engine gives at the lowest boost.',
    colour: 'good',
  },
  torque: {
    letter: 'G',
    reason: 'the torque reaches the limit of gearbox or clutch',
    noneHolds: 'The torque limit is below what the engine gives at the lowest boost.',
    colour: 'caution',
  },
  'top-line': {
    letter: 'L',
    reason: 'the top speed line of the sheet is reached',
    noneHolds: 'At no boost does the compressor stay below the top line of its map here.',
    colour: 'faint',
  },
  turbine: {
    letter: 'E',
    reason: 'the gate is shut and the exhaust drives no more',
    noneHolds: 'The exhaust drives no boost here: the engine gives this turbine too little gas.',
    colour: 'ink',
  },
  'back-pressure': {
    letter: 'B',
    reason: 'the back-pressure ratio reaches its limit',
    noneHolds:
      'At no boost does the back-pressure ratio stay under its limit here: the flow capacity of the turbine is too small.',
    colour: 'caution',
  },
  'turbine-temperature': {
    letter: 'H',
    short: 'Turbine inlet temp.',
    reason: 'the exhaust reaches the temperature limit of the turbine',
    noneHolds: 'At no boost does the exhaust enter the turbine below its temperature limit here.',
    colour: 'stop',
  },
  gate: {
    letter: 'O',
    short: 'Gate too small',
    reason: 'the wastegate is wide open',
    noneHolds: 'With the wastegate wide open the boost stays over what the other limits allow here.',
    colour: 'ink',
  },
};

const looks = Object.fromEntries<BindingLook>(
  LIMIT_KEYS.map((key) => [key, { ...LIMITS[key], ...WORDS[key] }]),
) as Record<LimitKey, BindingLook>;

/** Where the map itself ends, and what else leaves no point. Reasons without words of their own cannot be computed. */
const FAINT = { hatch: 'sparse', colour: 'faint' } as const;
const MAP_ENDS = { ...FAINT, letter: 'M', group: 'the map ends' } as const;
const UNKNOWN: BindingLook = { ...FAINT, name: 'Not computed', letter: '–', reason: 'it cannot be computed' };

/** That the exhaust drives no boost at all is the same matter as that it drives too little. */
const BINDINGS: Readonly<Record<BindingLimit, BindingLook>> = {
  ...looks,
  'above-map': { ...MAP_ENDS, name: 'Map ends above', reason: 'the map and its extension end' },
  'right-of-map': { ...MAP_ENDS, name: 'Map ends: choked', reason: 'the compressor passes no more air' },
  'left-of-map': { ...MAP_ENDS, name: 'Map ends: surge', reason: 'the map ends left of surge' },
  'exhaust-blocked': {
    ...FAINT,
    name: 'Exhaust blocked',
    letter: 'X',
    reason: 'the turbine does not pass the exhaust',
  },
  'gate-too-small': looks.gate,
  'turbine-too-weak': looks.turbine,
  'no-compression': UNKNOWN,
  'inlet-exhausted': UNKNOWN,
  'unreachable-goal': UNKNOWN,
  'no-efficiency': UNKNOWN,
  'bad-input': UNKNOWN,
  'not-converged': UNKNOWN,
};

/** Name, letter, hatch and words of what stands in the way: the same on charts, in the table and on paper. */
export function bindingLook(binding: BindingLimit): BindingLook {
  return BINDINGS[binding];
}

/** The key under which a field of limits shows it: several reasons are one matter. */
export function bindingKind(binding: BindingLimit): LimitKey | NoPointReason | 'other' {
  if (binding === 'turbine-too-weak') return 'turbine';
  if (binding === 'gate-too-small') return 'gate';
  return BINDINGS[binding] === UNKNOWN ? 'other' : binding;
}

/** Every kind that a field can hold, in the order of its legend. */
export const BINDING_KINDS: readonly (Pick<BindingLook, 'name' | 'hatch' | 'colour'> & { key: string })[] = [
  ...new Map(
    (Object.keys(BINDINGS) as BindingLimit[])
      .toSorted((a, b) => Number(bindingKind(a) === 'other') - Number(bindingKind(b) === 'other'))
      .map((binding) => [bindingKind(binding), BINDINGS[binding]]),
  ),
].map(([key, { name, hatch, colour }]) => ({ key, name, hatch, colour }));

/** Plain words for a cell without a ceiling. */
export function noneHoldsMessage(binding: BindingLimit): string {
  if (binding in WORDS) return WORDS[binding as LimitKey].noneHolds;
  if (binding === 'right-of-map') return 'At no boost does this compressor pass the air that the engine draws here.';
  if (binding === 'left-of-map') return 'At no boost does this compressor work right of its surge line here.';
  if (binding === 'bad-input') return 'A number is missing or impossible.';
  return REASON_MESSAGES[binding as Exclude<BindingLimit, LimitKey | 'bad-input'>];
}
