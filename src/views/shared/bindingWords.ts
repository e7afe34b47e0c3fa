import type { BindingLimit } from '../../match/index.ts';
import type { FieldKind } from '../../plot/index.ts';

interface BindingWords extends Omit<FieldKind, 'key'> {
  /** One or two letters for a cell of the table. */
  letter: string;
  /** What holds a boost down, in a sentence: 'the shaft reaches its limit'. */
  reason: string;
}

const MAP_ENDS = { hatch: 'sparse', colour: 'faint', letter: 'M' } as const;

/** Each limit has a hatch, a letter and words of its own: the same on charts, in the table and on paper. */
const WORDS: Readonly<Partial<Record<BindingLimit, BindingWords>>> = {
  'shaft-speed': {
    name: 'Shaft speed',
    hatch: 'rising',
    colour: 'stop',
    letter: 'N',
    reason: 'the shaft reaches its limit less the reserve',
  },
  'surge-margin': {
    name: 'Surge margin',
    hatch: 'upright',
    colour: 'ink',
    letter: 'S',
    reason: 'the surge margin is used up',
  },
  'choke-margin': {
    name: 'Choke margin',
    hatch: 'level',
    colour: 'b',
    letter: 'C',
    reason: 'the choke margin is used up',
  },
  'outlet-temperature': {
    name: 'Outlet temperature',
    hatch: 'dots',
    colour: 'caution',
    letter: 'T',
    reason: 'the compressor outlet reaches its temperature limit',
  },
  'manifold-pressure': {
    name: 'Manifold pressure',
    hatch: 'grid',
    colour: 'a',
    letter: 'P',
    reason: 'the manifold pressure reaches its limit',
  },
  'brake-power': {
    name: 'Power',
    hatch: 'falling',
    colour: 'good',
    letter: 'W',
    reason: 'the power at the crankshaft reaches its limit',
  },
  'top-line': {
    name: 'Top speed line',
    hatch: 'crossed',
    colour: 'faint',
    letter: 'L',
    reason: 'the top speed line of the sheet is reached',
  },
  turbine: {
    name: 'Exhaust too weak',
    hatch: 'zigzag',
    colour: 'ink',
    letter: 'E',
    reason: 'the gate is shut and the exhaust drives no more',
  },
  'back-pressure': {
    name: 'Back-pressure',
    hatch: 'brick',
    colour: 'caution',
    letter: 'B',
    reason: 'the back-pressure ratio reaches its limit',
  },
  'turbine-temperature': {
    name: 'Turbine inlet temperature',
    hatch: 'plus',
    colour: 'stop',
    letter: 'H',
    reason: 'the exhaust reaches the temperature limit of the turbine',
  },
  'above-map': { ...MAP_ENDS, name: 'Map ends above', reason: 'the map and its extension end' },
  'right-of-map': { ...MAP_ENDS, name: 'Map ends: choked', reason: 'the compressor passes no more air' },
  'left-of-map': { ...MAP_ENDS, name: 'Map ends: surge', reason: 'the map ends left of surge' },
  'exhaust-blocked': {
    ...MAP_ENDS,
    name: 'Exhaust blocked',
    letter: 'X',
    reason: 'the turbine does not swallow the exhaust',
  },
};

const UNKNOWN: BindingWords = { ...MAP_ENDS, name: 'Not computed', letter: '–', reason: 'it cannot be computed' };

export function bindingWords(binding: BindingLimit): BindingWords {
  return WORDS[asLimit(binding)] ?? UNKNOWN;
}

/** That the exhaust drives no boost at all is the same matter as that it drives too little. */
function asLimit(binding: BindingLimit): BindingLimit {
  return binding === 'turbine-too-weak' ? 'turbine' : binding;
}

/** Every kind that a field can hold, in the order of its legend. */
export const BINDING_KINDS: readonly FieldKind[] = [
  ...Object.entries(WORDS).map(([key, { name, hatch, colour }]) => ({ key, name, hatch, colour })),
  { key: 'other', name: UNKNOWN.name, hatch: UNKNOWN.hatch, colour: UNKNOWN.colour },
];

/** The key of a field's kind. */
export function bindingKind(binding: BindingLimit): string {
  const kind = asLimit(binding);
  return WORDS[kind] === undefined ? 'other' : kind;
}
