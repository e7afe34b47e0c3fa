import type { CandidateCard } from '../candidateCard.ts';
import { type CardPath, type CardValue, cardNames, getCardField, withCardField } from '../candidatePaths.ts';
import { sameContent } from '../sameContent.ts';
import { withCandidate } from './candidates.ts';
import { type Change, merging, step } from './change.ts';

/** Changes one field of the card of a candidate of the open build; typing in the same field within a second is one step. */
export function setCardField<P extends CardPath>(candidateId: string, path: P, value: CardValue<P>): Change {
  return merging(`change ${cardNames[path]}`, `candidate.${candidateId}.${path}`, (workspace) =>
    withCandidate(workspace, candidateId, (candidate) =>
      sameContent(getCardField(candidate, path), value) ? candidate : withCardField(candidate, path, value),
    ),
  );
}

/**
 * How the turbine of a candidate is known. An estimate has no efficiencies of its own: where they came off a sheet, the number of the card
 * is taken with it, in the same step of undo.
 */
export function chooseTurbineSource(candidateId: string, source: CandidateCard['turbine']['source']): Change {
  return step(`change ${cardNames['turbine.source']}`, (workspace) =>
    withCandidate(workspace, candidateId, (candidate) => {
      const chosen = withCardField(candidate, 'turbine.source', source);
      const isWithout = source === 'measured' && candidate.turbine.efficiency.kind === 'sheet';
      return isWithout ? withCardField(chosen, 'turbine.efficiency.kind', 'number') : chosen;
    }),
  );
}
