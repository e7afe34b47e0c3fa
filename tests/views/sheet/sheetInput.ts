import { demoBuild } from '../../../src/build/demo.ts';
import { type Build, sheetRecord, workspaceOf } from '../../../src/build/index.ts';
import {
  createLuglineStore,
  selectCandidateFigures,
  selectCandidateResults,
  selectComparison,
  selectDayAir,
} from '../../../src/store/index.ts';
import type { SheetInput } from '../../../src/views/sheet/model/sheetModel.ts';

/** What the Sheet view would show of a build with its first candidates, without a page; no study is done. */
export function sheetInput(build: Build = demoBuild(), count = 2): SheetInput {
  const state = createLuglineStore(workspaceOf([build])).getState();
  const indices = build.candidates.slice(0, count).map((_, i) => i);
  const candidates = indices.map((index) => {
    const results = selectCandidateResults(state, index);
    if (results === null) throw new Error('a candidate expected');
    return { index, results, figures: selectCandidateFigures(state, index) };
  });
  return {
    build,
    settings: state.workspace.settings,
    day: selectDayAir(state),
    candidates,
    comparison: count > 1 ? selectComparison(state, 0, 1, true) : null,
    study: { result: null, isCurrent: false, problem: null },
    record: sheetRecord(
      build,
      '9.9.9',
      candidates.map(({ results }) => ({ candidateId: results.candidate.id, points: results.points })),
    ),
  };
}
