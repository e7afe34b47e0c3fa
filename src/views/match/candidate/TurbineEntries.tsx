import type { Candidate } from '../../../build/index.ts';
import { CardChoice } from './CardChoice.tsx';

const ENTRIES = [
  { key: 'all', name: 'Both entries together' },
  { key: 'one', name: 'One entry' },
] as const;

/** Of a twin scroll: what the figures of the sheet, or the A/R, are of. A choice that still counts is shown, even where the scroll is not noted. */
export function TurbineEntries({ candidate }: { candidate: Candidate }) {
  const { turbine, housing } = candidate;
  const isAsked = housing.scroll === 'twin' || (housing.scroll !== 'single' && turbine.entries === 'one');
  if (!isAsked) return null;
  return (
    <CardChoice
      stacked
      candidate={candidate}
      path="turbine.entries"
      label={turbine.source === 'sheet' ? 'Flows on the sheet are of' : 'Turbine A/R is of'}
      options={ENTRIES}
      help="Twin scroll: the flows of both entries are summed as steady flow."
    />
  );
}
