import { REASON_MESSAGES } from '../operating-line.ts';
import type { BindingLimit, LimitKey } from './types.ts';

/** One plain sentence each: why no boost at all holds. */
const NONE_HOLDS: Readonly<Record<LimitKey, string>> = {
  'shaft-speed': 'At no boost does the shaft stay under its limit here.',
  'surge-margin': 'At no boost does this compressor keep its surge margin here: the engine draws too little air.',
  'choke-margin': 'At no boost does this compressor keep its choke margin here: the engine draws too much air.',
  'outlet-temperature': 'At no boost does the compressor outlet stay under its temperature limit here.',
  'manifold-pressure': 'The limit of manifold pressure is below what the engine draws without the compressor.',
  'brake-power': 'The power limit is below what the engine gives at the lowest boost.',
  'top-line': 'At no boost does the compressor stay below the top line of its map here.',
  turbine: 'The exhaust drives no boost here: the engine gives this turbine too little gas.',
  'back-pressure':
    'At no boost does the back-pressure ratio stay under its limit here: the turbine swallows too little.',
  'turbine-temperature': 'At no boost does the exhaust enter the turbine below its temperature limit here.',
};

/** Plain words for a cell without a ceiling. */
export function noneHoldsMessage(binding: BindingLimit): string {
  if (binding in NONE_HOLDS) return NONE_HOLDS[binding as LimitKey];
  if (binding === 'right-of-map') return 'At no boost does this compressor pass the air that the engine draws here.';
  if (binding === 'left-of-map') return 'At no boost does this compressor work right of its surge line here.';
  if (binding === 'bad-input') return 'A number is missing or impossible.';
  return REASON_MESSAGES[binding as Exclude<BindingLimit, LimitKey | 'bad-input'>];
}
