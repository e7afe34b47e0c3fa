import type { FiledSheet } from '../matchSheet.ts';
import { type Change, step } from './change.ts';
import { withActiveBuild } from './changeBuild.ts';

/** Keeps the record of a sheet with the open build; null takes it away. */
export function fileSheet(record: FiledSheet | null): Change {
  return step('file the sheet', (workspace) =>
    withActiveBuild(workspace, (build) => {
      if (record !== null) return { ...build, filed: record };
      if (build.filed === undefined) return build;
      const { filed: _taken, ...without } = build;
      return without;
    }),
  );
}
