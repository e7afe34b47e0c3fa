import { addLog, keepLogRows, logsOf, rememberedHints, sameContent } from '../build/index.ts';
import { type LogStudy, type LuglineStore, selectActiveBuild, selectBuilds } from '../store/index.ts';
import { refuse } from './fileActions.ts';
import { LOG_VIEWS } from './studies/keepStudies.ts';

/**
 * Joins road logs to the document: a file that can be read becomes a record of the build, one that cannot changes nothing and says why;
 * the log that is chosen in the Log view is fetched with its bytes. Returns what ends it.
 */
export function keepLogs(store: LuglineStore): () => void {
  let settled: LogStudy | null = null;
  let fetching: string | null = null;
  const follow = () => {
    const state = store.getState();
    const study = state.studies.log.result;
    if (study !== null && study !== settled) {
      settled = study;
      settle(store, study);
      return;
    }
    const build = selectActiveBuild(state);
    if (!LOG_VIEWS.has(state.ui.view) || state.openedLog?.isNew === true) return;
    const logs = logsOf(build);
    const chosen = state.ui.openLogId;
    const wanted = chosen === '' ? null : (logs.find(({ id }) => id === chosen) ?? logs.at(-1) ?? null);
    if (wanted === null && state.openedLog !== null) state.openLog(null);
    if (wanted === null || state.openedLog?.record.id === wanted.id || fetching === wanted.id) return;
    fetching = wanted.id;
    void state.logs.get(wanted.hash).then((kept) => {
      fetching = null;
      store.getState().openLog({ record: wanted, bytes: kept?.bytes ?? null, isNew: false });
    });
  };
  follow();
  return store.subscribe(follow);
}

function settle(store: LuglineStore, study: LogStudy): void {
  const { openedLog } = store.getState();
  if (openedLog === null || openedLog.record.id !== study.record.id) return;
  if (!openedLog.isNew) {
    const { rows } = study.text;
    const kept = logsOf(selectActiveBuild(store.getState())).find(({ id }) => id === study.record.id);
    if (kept !== undefined && !sameContent(kept.rows, rows)) store.getState().run(keepLogRows(study.record.id, rows));
    return;
  }
  if (study.text.columns.length === 0) {
    store.getState().openLog(null);
    refuse(store, study.record.name, study.text.problems);
    return;
  }
  takeIn(store, study);
}

/** The first reading of a file: it is read again where a file with the same columns was read before, with what was said then. */
function takeIn(store: LuglineStore, { record, text }: LogStudy): void {
  const state = store.getState();
  const { openedLog } = state;
  const known = rememberedHints(selectBuilds(state), text.header);
  const complete = { ...record, header: text.header, hash: text.hash, rows: text.rows, hints: known ?? record.hints };
  state.run(addLog(complete));
  const isIn = logsOf(selectActiveBuild(store.getState())).some(({ id }) => id === record.id);
  if (!isIn) {
    state.openLog(null);
    state.notify({
      tone: 'trouble',
      text: 'This build holds as many road logs as it can. Remove one, then open the file again.',
      details: [],
    });
    return;
  }
  const bytes = text.made ?? openedLog?.bytes ?? null;
  state.openLog({ record: complete, bytes, isNew: false });
  state.setUi({ openLogId: record.id });
  if (bytes === null) return;
  state.logs.put({ id: text.hash, bytes }).catch((error: unknown) => {
    const message = error instanceof Error ? error.message : String(error);
    store.getState().notify({ tone: 'trouble', text: message, details: [] });
  });
}
