import { LIMITS, type LimitKey, type LimitLook } from './limits.ts';
import { REASON_MESSAGES } from './operating-line.ts';
import type { BindingLimit, NoPointReason } from './types.ts';

/* Look and words of what stands in the way of more boost, for the studies. */

/** Where the map itself ends, and what else leaves no point. Reasons without words of their own cannot be computed. */
const FAINT = { hatch: 'sparse', colour: 'faint' } as const;
const MAP_ENDS = { ...FAINT, letter: 'M', group: 'the map ends' } as const;
const UNKNOWN: LimitLook = { ...FAINT, name: 'Not computed', letter: '–', reason: 'it cannot be computed' };

/** That the exhaust drives no boost at all is the same matter as that it drives too little. */
const BINDINGS: Readonly<Record<BindingLimit, LimitLook>> = {
  ...LIMITS,
  'above-map': { ...MAP_ENDS, name: 'Map ends above', reason: 'the map and its extension end' },
  'right-of-map': { ...MAP_ENDS, name: 'Map ends: choked', reason: 'the compressor passes no more air' },
  'left-of-map': { ...MAP_ENDS, name: 'Map ends: surge', reason: 'the map ends left of surge' },
  'exhaust-blocked': {
    ...FAINT,
    name: 'Exhaust blocked',
    letter: 'X',
    reason: 'the turbine does not pass the exhaust',
  },
  'gate-too-small': LIMITS.gate,
  'turbine-too-weak': LIMITS.turbine,
  'no-compression': UNKNOWN,
  'inlet-exhausted': UNKNOWN,
  'unreachable-goal': UNKNOWN,
  'no-efficiency': UNKNOWN,
  'bad-input': UNKNOWN,
  'not-converged': UNKNOWN,
};

/** Name, letter, hatch and words of what stands in the way: the same on charts, in the table and on paper. */
export function bindingLook(binding: BindingLimit): LimitLook {
  return BINDINGS[binding];
}

/** The key under which a field of limits shows it: several reasons are one matter. */
export function bindingKind(binding: BindingLimit): LimitKey | NoPointReason | 'other' {
  if (binding === 'turbine-too-weak') return 'turbine';
  if (binding === 'gate-too-small') return 'gate';
  return BINDINGS[binding] === UNKNOWN ? 'other' : binding;
}

/** Every kind that a field can hold, in the order of its legend. */
export const BINDING_KINDS: readonly (Pick<LimitLook, 'name' | 'hatch' | 'colour'> & { key: string })[] = [
  ...new Map(
    (Object.keys(BINDINGS) as BindingLimit[])
      .toSorted((a, b) => Number(bindingKind(a) === 'other') - Number(bindingKind(b) === 'other'))
      .map((binding) => [bindingKind(binding), BINDINGS[binding]]),
  ),
].map(([key, { name, hatch, colour }]) => ({ key, name, hatch, colour }));

/** Plain words for a cell without a ceiling. */
export function noneHoldsMessage(binding: BindingLimit): string {
  if (binding in LIMITS) return LIMITS[binding as LimitKey].noneHolds;
  if (binding === 'right-of-map') return 'At no boost does this compressor pass the air that the engine draws here.';
  if (binding === 'left-of-map') return 'At no boost does this compressor work right of its surge line here.';
  if (binding === 'bad-input') return 'A number is missing or impossible.';
  return REASON_MESSAGES[binding as Exclude<BindingLimit, LimitKey | 'bad-input'>];
}
