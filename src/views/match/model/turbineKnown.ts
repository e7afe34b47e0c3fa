import type { Candidate, CandidateTurbine } from '../../../build/index.ts';
import { formatNumber, NO_BREAK_SPACE } from '../../../units/index.ts';

const UNTOLD = 'threshold and back-pressure cannot be told';

/** What is known of the turbine of a candidate, to be read on after 'Turbine'. */
export function turbineKnown(
  { turbineSheet }: Pick<Candidate, 'turbineSheet'>,
  { from, capacity, input }: Pick<CandidateTurbine, 'from' | 'capacity' | 'input'>,
): string {
  const asYet = input === null ? ' not complete yet' : '';
  switch (from) {
    case 'none':
      return `not known: ${UNTOLD}`;
    case 'sheet':
      if (turbineSheet === null) return `sheet not chosen yet: ${UNTOLD}`;
      return `sheet “${turbineSheet.name.trim() || 'without a name'}”${asYet && `,${asYet}`}`;
    case 'measured':
      if (capacity === null) return 'to be estimated: measurements are missing';
      return `estimated, ±${formatNumber(capacity.band * 100, 0)}${NO_BREAK_SPACE}%${asYet && `,${asYet}`}`;
  }
}
