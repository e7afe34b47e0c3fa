import { type CardPath, type CardValue, cardNames, getCardField, withCardField } from '../candidatePaths.ts';
import { sameContent } from '../sameContent.ts';
import { withCandidate } from './candidates.ts';
import { type Change, merging } from './change.ts';

/** Changes one field of the card of a candidate of the open build; typing in the same field within a second is one step. */
export function setCardField<P extends CardPath>(candidateId: string, path: P, value: CardValue<P>): Change {
  return merging(`change ${cardNames[path]}`, `candidate.${candidateId}.${path}`, (workspace) =>
    withCandidate(workspace, candidateId, (candidate) =>
      sameContent(getCardField(candidate, path), value) ? candidate : withCardField(candidate, path, value),
    ),
  );
}
