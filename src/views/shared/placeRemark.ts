import type { OperatingPointSolved } from '../../match/index.ts';

type TurbineState = NonNullable<OperatingPointSolved['turbine']>;

const REGION_WORDS: Readonly<Record<OperatingPointSolved['region'], string>> = {
  inside: '',
  'left-of-surge': 'left of the surge line',
  'right-of-choke': 'past the choke end',
  'above-top-line': 'above the top line',
  'below-lowest-line': 'below the lowest line',
  outside: 'outside the map',
};

/** What the reader must know about a place of the map: where it lies, and what is extended or assumed. '' for nothing. */
export function placeRemark(place: {
  region: OperatingPointSolved['region'];
  extended: boolean;
  efficiencyAssumed?: boolean;
  /** The map is another wheel's, scaled. */
  estimated?: boolean | undefined;
  turbine?: Pick<TurbineState, 'heldBy' | 'choked'> | null | undefined;
}): string {
  const words = [REGION_WORDS[place.region]];
  // Outside the entered lines the map is always extended: that need not be said twice.
  if (place.extended && place.region === 'inside') words.push('map extended');
  if (place.efficiencyAssumed) words.push('efficiency assumed');
  // That the gate holds the goal goes without saying.
  if (place.turbine?.heldBy === 'turbine') words.push('turbine-limited');
  if (place.turbine?.choked) words.push('turbine choked');
  if (place.estimated) words.push('map estimated');
  return words.filter((word) => word !== '').join(', ');
}
