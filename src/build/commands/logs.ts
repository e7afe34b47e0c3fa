import { type Build, logsOf, sameContent, type TypedCurve } from '../document.ts';
import type { ColumnHint, LogHints } from '../log/types.ts';
import type { LogRecord } from '../schema.ts';
import { buildStep, type Change, step, unrecorded, withActiveBuild } from './changeBuild.ts';

/** More logs than this make a build file too large to hand on. */
const MOST_LOGS = 12;

/** Adds a log to the open build, or puts it in the place of the one of the same file. */
export function addLog(record: LogRecord): Change {
  return buildStep('add a road log', (build) => {
    const others = logsOf(build).filter(({ hash }) => hash !== record.hash);
    return others.length >= MOST_LOGS ? build : { ...build, logs: [...others, record] };
  });
}

export function removeLog(id: string): Change {
  return buildStep('remove the road log', (build) => {
    const logs = logsOf(build).filter((log) => log.id !== id);
    if (logs.length === logsOf(build).length) return build;
    const { logs: _taken, ...without } = build;
    return logs.length === 0 ? without : { ...build, logs };
  });
}

/** Changes what was decided about a log. `label` in the words of the undo button. */
export function changeLog(id: string, changed: Partial<LogRecord>, label: string): Change {
  return step(label, (workspace) => withActiveBuild(workspace, (build) => withLog(build, id, changed)));
}

/** Keeps the rows as they are read now. They follow from file and hints: no step of undo. */
export function keepLogRows(id: string, rows: LogRecord['rows']): Change {
  return unrecorded('keep rows of the road log', (workspace) =>
    withActiveBuild(workspace, (build) => withLog(build, id, { rows })),
  );
}

function withLog(build: Build, id: string, changed: Partial<LogRecord>): Build {
  const logs = logsOf(build).map((log) => (log.id === id ? { ...log, ...changed } : log));
  return sameContent(logs, logsOf(build)) ? build : { ...build, logs };
}

/**
 * Takes a volumetric efficiency that was measured: the curve's new rows, its tolerance, and a note that says where they come from. One step;
 * nothing else of the build moves.
 * @param of what gave it, for the undo button: 'log', 'dynamometer run'
 */
export function enterVolumetricEfficiency(
  curve: TypedCurve,
  tolerancePercent: string,
  note: string,
  of = 'log',
): Change {
  return takeMeasured(
    `take the volumetric efficiency of the ${of}`,
    'volumetricEfficiency',
    tolerancePercent,
    note,
    (build) => ({
      ...build,
      engine: { ...build.engine, volumetricEfficiency: curve },
    }),
  );
}

/** The same with the loss of the inlet path, at the air flow for which it was entered. */
export function enterInletLoss(loss: Build['inletPath']['loss'], tolerancePercent: string, note: string): Change {
  return takeMeasured('take the inlet loss of the log', 'inletLoss', tolerancePercent, note, (build) => ({
    ...build,
    inletPath: { ...build.inletPath, loss },
  }));
}

function takeMeasured(
  label: string,
  tolerance: 'volumetricEfficiency' | 'inletLoss',
  percent: string,
  note: string,
  entered: (build: Build) => Build,
): Change {
  return buildStep(label, (before) => {
    const build = entered(before);
    const tolerances = { ...build.spread.tolerances, [tolerance]: { text: percent, unit: '%' } };
    const notes = build.notes.trim() === '' ? note : `${build.notes.trimEnd()}\n${note}`;
    return { ...build, spread: { ...build.spread, tolerances }, notes };
  });
}

/** Hints with an answer added; the answer wins, column by column. */
export function withHints(hints: LogHints, answer: LogHints): LogHints {
  const columns: Record<string, ColumnHint> = { ...hints.columns };
  for (const [column, hint] of Object.entries(answer.columns ?? {})) columns[column] = { ...columns[column], ...hint };
  return { ...hints, ...answer, ...(Object.keys(columns).length > 0 && { columns }) };
}

/** How a file with these columns was read before, in any build; null where none was. */
export function rememberedHints(builds: readonly Build[], header: string): LogHints | null {
  const before = builds.flatMap(logsOf).filter((log) => log.header === header);
  return before.toSorted((a, b) => (a.addedAt < b.addedAt ? 1 : -1))[0]?.hints ?? null;
}
