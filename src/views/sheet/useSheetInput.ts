import { useMemo } from 'react';
import {
  isSameAltitudeStudy,
  selectActiveBuild,
  selectCandidateFigures,
  selectCandidateResults,
  selectComparison,
  selectDayAir,
  selectShownCandidate,
  useLugline,
  useLuglineStore,
  useSettings,
} from '../../store/index.ts';
import { comparedPair, PROGRAM_VERSION } from '../shared/provenance.ts';
import { presentRecord } from './model/filedWords.ts';
import type { SheetInput } from './model/sheetModel.ts';

/** Everything that the sheet shows, of one state of the build; the same object while nothing of it changed. */
export function useSheetInput(): SheetInput {
  const store = useLuglineStore();
  const build = useLugline(selectActiveBuild);
  const settings = useSettings();
  const shown = useLugline(selectShownCandidate);
  const { result, problem } = useLugline((state) => state.studies.altitude);
  return useMemo(() => {
    const state = store.getState();
    const pair = build.sheet.candidates === 'both' ? comparedPair(settings, build.candidates.length) : null;
    const indices = pair ?? (shown === null ? [] : [shown]);
    const all = build.candidates.flatMap((_, i) => selectCandidateResults(state, i) ?? []);
    return {
      build,
      settings,
      day: selectDayAir(state),
      candidates: indices.flatMap((index) => {
        const results = selectCandidateResults(state, index);
        return results === null ? [] : [{ index, results, figures: selectCandidateFigures(state, index) }];
      }),
      comparison: pair === null ? null : selectComparison(state, pair[0], pair[1], true),
      study: { result, isCurrent: result !== null && isSameAltitudeStudy(result.build, build), problem },
      record: presentRecord(build, PROGRAM_VERSION, all),
    };
  }, [store, build, settings, shown, result, problem]);
}
