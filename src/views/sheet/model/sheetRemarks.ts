import type { Assumption } from '../../../build/index.ts';
import type { ResultUnits } from '../../../match/index.ts';
import { assumptionWords } from '../../shared/assumptionWords.ts';
import { candidateLetter } from '../../shared/provenance.ts';

/** One assumption, estimate or extension, said once for all candidates that it concerns. */
export interface SheetRemark {
  kind: Assumption['kind'];
  /** 'A', 'B', 'A, B'; '' where it concerns every candidate of the sheet. */
  letters: string;
  words: string;
}

const RANK: Readonly<Record<Assumption['kind'], number>> = { estimate: 0, extension: 1, assumption: 2 };

/** Everything that the numbers rest on and nobody measured: estimates first, then extensions, then assumptions. */
export function sheetRemarks(
  candidates: readonly { index: number; assumptions: readonly Assumption[] }[],
  units: ResultUnits,
): SheetRemark[] {
  const found = new Map<string, { kind: Assumption['kind']; words: string; indices: number[] }>();
  for (const { index, assumptions } of candidates) {
    for (const assumption of assumptions) {
      const words = assumptionWords(assumption, units);
      const known = found.get(words);
      if (known === undefined) found.set(words, { kind: assumption.kind, words, indices: [index] });
      else known.indices.push(index);
    }
  }
  return [...found.values()]
    .map(({ kind, words, indices }) => ({
      kind,
      words,
      letters: indices.length === candidates.length ? '' : indices.map(candidateLetter).join(', '),
    }))
    .map((remark, place) => ({ remark, place }))
    .sort((a, b) => RANK[a.remark.kind] - RANK[b.remark.kind] || a.place - b.place)
    .map(({ remark }) => remark);
}
