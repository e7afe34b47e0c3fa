import type { Candidate } from '../../../build/index.ts';
import type { MatchInput } from '../../../store/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../units/index.ts';

const UNTOLD = 'threshold and back-pressure cannot be told';

/**
 * What is known of the turbine of a candidate, in one line.
 * @param turbine as it is computed with; undefined: it cannot be, or nothing can be
 */
export function turbineKnown(
  { turbine: { source }, turbineSheet }: Pick<Candidate, 'turbine' | 'turbineSheet'>,
  turbine: MatchInput['turbine'],
): string {
  if (source === 'none') return `not known: ${UNTOLD}`;
  if (source === 'sheet') {
    if (turbineSheet === null) return `no sheet chosen yet: ${UNTOLD}`;
    const sheet = `sheet “${turbineSheet.name.trim() || 'without a name'}”`;
    return turbine === undefined ? `${sheet} cannot be used yet` : sheet;
  }
  if (turbine === undefined) return `to be estimated, measurements missing`;
  return `estimated, ±${formatNumber(turbine.capacity.band * 100, 0)}${NO_BREAK_SPACE}%`;
}
