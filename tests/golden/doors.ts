/*
 * Every door of the program that the golden files are taken through. When files move or a door changes its form, this is the one file
 * to follow; the golden files themselves must stay as they are.
 */
import '../widgets/cssEscape.ts';

export { App } from '../../src/app/App.tsx';
export { openProgram } from '../../src/app/persistence.ts';
export { keepStudies } from '../../src/app/studies/keepStudies.ts';
export {
  type Build,
  changeSettings,
  chooseUnits,
  deleteBuild,
  newBuild,
  removeCandidate,
  setBuildField,
  setCurve,
  tryMatchInput,
} from '../../src/build/index.ts';
export { auditSheet } from '../../src/compressor/index.ts';
export { resultUnits, solveOperatingLine } from '../../src/match/index.ts';
export { proposedRepair } from '../../src/reading/index.ts';
export { LuglineContext, type LuglineStore, selectActiveBuild, selectComparison } from '../../src/store/index.ts';
export { checkTurbineSheet } from '../../src/turbine/fit-capacity.ts';
export { auditTurbineSheet } from '../../src/turbine/index.ts';
export { nuisanceWords, warningSentences } from '../../src/views/shared/logSentences.ts';
export { SLIPS } from '../compressor/audit-slips.ts';
export { GOOD } from '../compressor/good-sheet.ts';
export { soundSheet } from '../turbine/sound-sheet.ts';

/** The worker of the studies as a module: it listens to 'message' and answers with postMessage. */
export const fetchStudyWorker = () => import('../../src/app/studies/study.worker.ts');
export { fetchLateParts } from '../../src/widgets/index.ts';
