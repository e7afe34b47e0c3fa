import type { UnitSystem } from '../../units/index.ts';
import { buildFields, placeFields } from '../buildFields.ts';
import { unitsOfSystem } from '../defaults.ts';
import { type Build, type Settings, sameContent, type Workspace } from '../document.ts';
import { inSystem, startOf } from '../field.ts';
import { candidateFields } from '../fields.ts';
import { studyFields } from '../studyFields.ts';

/**
 * One change of the workspace with its undo policy:
 * - 'step': undone by itself;
 * - 'merge': one step together with the change before it, when that has the same mergeKey and is less than a second old: a drag,
 *   or the typing in one field;
 * - 'never': what is looked at, not what is entered (which build is open, theme); undo leaves it alone.
 */
export interface Change {
  /** In the words of the undo button: 'change altitude'. */
  label: string;
  undo: 'step' | 'merge' | 'never';
  mergeKey?: string | undefined;
  /** Pure. Gives the very same workspace back when nothing changes, and then no step is made. */
  perform(workspace: Workspace): Workspace;
}

export function step(label: string, perform: Change['perform']): Change {
  return { label, undo: 'step', perform };
}

export function merging(label: string, mergeKey: string, perform: Change['perform']): Change {
  return { label, undo: 'merge', mergeKey, perform };
}

export function unrecorded(label: string, perform: Change['perform']): Change {
  return { label, undo: 'never', perform };
}

/** The workspace with the open build changed. */
export function withActiveBuild(workspace: Workspace, change: (build: Build) => Build): Workspace {
  const build = workspace.builds[workspace.activeBuildId];
  if (build === undefined) return workspace;
  const next = change(build);
  return next === build ? workspace : { ...workspace, builds: { ...workspace.builds, [build.id]: next } };
}

/** One step that changes the open build alone. */
export function buildStep(label: string, change: (build: Build) => Build): Change {
  return step(label, (workspace) => withActiveBuild(workspace, change));
}

/**
 * Changes settings: how things are shown, which is no step of undo. A choice of units is one, for the open build keeps it, with the settings,
 * from which the next build takes it.
 */
export function changeSettings(changed: Partial<Settings>): Change {
  const { flowAxisUnit, resultUnits } = changed;
  const perform = (workspace: Workspace) => {
    const settings = { ...workspace.settings, ...changed };
    return sameContent(settings, workspace.settings) ? workspace : { ...workspace, settings };
  };
  if (flowAxisUnit === undefined && resultUnits === undefined) return unrecorded('change settings', perform);
  return step('choose units', (workspace) =>
    perform(
      withActiveBuild(workspace, (build) => {
        const { system = 'metric', ...shown } = shownSettings(build, workspace.settings);
        const units = {
          system,
          flowAxisUnit: flowAxisUnit ?? shown.flowAxisUnit,
          resultUnits: resultUnits ?? shown.resultUnits ?? {},
        };
        return sameContent(units, build.units) ? build : { ...build, units };
      }),
    ),
  );
}

/** How a build is shown: the settings of this machine, and over them what the build itself says of units. */
export function shownSettings({ units }: Pick<Build, 'units'>, settings: Settings): Settings {
  return units === undefined ? settings : { ...settings, ...units };
}

/**
 * Brings the open build into metric or US units: every field whose unit is of the other system is converted, and results are shown in the
 * usual units of this one. The next build starts with them. Maps stay as their sheets are.
 */
export function chooseUnits(system: UnitSystem): Change {
  return step(system === 'us' ? 'use US units' : 'use metric units', (workspace) => {
    const units = unitsOfSystem(system);
    const changed = withActiveBuild(workspace, (build) => ({
      ...inSystem(buildFields, build, system),
      units,
      controlTable: withUsualAxis(inSystem(buildFields.controlTable, build.controlTable, system), system),
      sheet: withUsualPaper(build.sheet, system),
      places: build.places.map((place) => inSystem(placeFields, place, system)),
      candidates: build.candidates.map((candidate) => inSystem(candidateFields, candidate, system)),
    }));
    return { ...changed, settings: { ...changed.settings, ...units } };
  });
}

/** Paper that is the usual one of the other system becomes that of this one. */
function withUsualPaper(sheet: Build['sheet'], system: UnitSystem): Build['sheet'] {
  const { paper } = studyFields.sheet;
  return sheet.paper === startOf(paper, system === 'us' ? 'metric' : 'us')
    ? { ...sheet, paper: startOf(paper, system) }
    : sheet;
}

/** Breakpoints that were typed or pasted are those of the control unit, whatever units the shop reads; without any the axis follows. */
function withUsualAxis(table: Build['controlTable'], system: UnitSystem): Build['controlTable'] {
  const pairs = [
    ['kPa', 'psi'],
    ['hPa', 'inHg'],
    ['m', 'ft'],
  ] as const;
  const pair = pairs.find((units) => (units as readonly string[]).includes(table.axis));
  return pair === undefined || table.barometers.trim() !== ''
    ? table
    : { ...table, axis: pair[system === 'us' ? 1 : 0] };
}
