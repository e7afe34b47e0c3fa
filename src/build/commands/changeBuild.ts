import { type BuildPath, type BuildValue, getBuildField, withBuildField } from '../buildPaths.ts';
import type { Build, Settings, TypedCurve, Workspace } from '../document.ts';
import { fieldNames } from '../fieldNames.ts';
import type { CurvePath } from '../fieldRules.ts';
import { sameContent } from '../sameContent.ts';
import { type Change, merging, unrecorded } from './change.ts';

/** The workspace with the open build changed. */
export function withActiveBuild(workspace: Workspace, change: (build: Build) => Build): Workspace {
  const build = workspace.builds[workspace.activeBuildId];
  if (build === undefined) return workspace;
  const next = change(build);
  return next === build ? workspace : { ...workspace, builds: { ...workspace.builds, [build.id]: next } };
}

/** Changes one field of the open build; typing in the same field within a second is one step. */
export function setBuildField<P extends BuildPath>(path: P, value: BuildValue<P>): Change {
  return merging(`change ${fieldNames[path]}`, path, (workspace) =>
    withActiveBuild(workspace, (build) =>
      sameContent(getBuildField(build, path), value) ? build : withBuildField(build, path, value),
    ),
  );
}

/** Replaces the rows of a curve of the open build; the unit stays. A drag of one point is one step. */
export function setCurve(path: CurvePath, rows: TypedCurve['rows']): Change {
  return merging(`change ${fieldNames[path]}`, path, (workspace) =>
    withActiveBuild(workspace, (build) => {
      const curve = getBuildField(build, path);
      return sameContent(curve.rows, rows) ? build : withBuildField(build, path, { ...curve, rows });
    }),
  );
}

/** Changes settings: how things are shown, which is no step of undo. */
export function changeSettings(changed: Partial<Settings>): Change {
  return unrecorded('change settings', (workspace) => {
    const settings = { ...workspace.settings, ...changed };
    return sameContent(settings, workspace.settings) ? workspace : { ...workspace, settings };
  });
}
