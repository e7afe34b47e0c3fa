import { defaultCandidate } from '../defaults.ts';
import { type Build, type Candidate, type MapDraft, uniqueName, type Workspace } from '../document.ts';
import { type SheetKindKey, sheetKindOf } from '../draftCells.ts';
import { buildStep, type Change, step, withActiveBuild } from './changeBuild.ts';

/** The Match view compares at most this many; more lines on one map cannot be told apart on paper. */
export const MOST_CANDIDATES = 4;

/** Adds a candidate to the open build, without a map. At most four. */
export function addCandidate(id: string, name?: string): Change {
  return step('add candidate', (workspace) =>
    withActiveBuild(workspace, (build) => {
      if (build.candidates.length >= MOST_CANDIDATES) return build;
      const wanted = name ?? `Candidate ${String.fromCharCode(65 + build.candidates.length)}`;
      const added = defaultCandidate(
        id,
        uniqueName(
          wanted,
          build.candidates.map((c) => c.name),
        ),
        build.units?.system ?? workspace.settings.system,
      );
      return { ...build, candidates: [...build.candidates, added] };
    }),
  );
}

/** Removes a candidate of the open build; a build may stand without any. */
export function removeCandidate(candidateId: string): Change {
  return buildStep('remove candidate', (build) => {
    const candidates = build.candidates.filter((candidate) => candidate.id !== candidateId);
    return candidates.length === build.candidates.length ? build : { ...build, candidates };
  });
}

/** A sheet of the shelf by its id, null for none; undefined where there is none of that kind, and nothing is to change. */
function chosenSheet({ shelf }: Workspace, id: string | null, kind: SheetKindKey): MapDraft | null | undefined {
  if (id === null) return null;
  const sheet = shelf[id];
  return sheet !== undefined && sheetKindOf(sheet) === kind ? sheet : undefined;
}

/** Puts a compressor map of the shelf on a candidate of the open build; null takes it off. A turbine sheet changes nothing. */
export function assignMap(candidateId: string, mapId: string | null): Change {
  return step('choose map', (workspace) => withMap(workspace, candidateId, 'map', mapId));
}

/**
 * The map of the shelf that is scaled to the measured wheel of a candidate of the open build that has no map of its own; null takes it
 * off.
 */
export function assignDonor(candidateId: string, mapId: string | null): Change {
  return step('choose donor map', (workspace) => withMap(workspace, candidateId, 'donor', mapId));
}

function withMap(workspace: Workspace, candidateId: string, place: 'map' | 'donor', mapId: string | null): Workspace {
  const map = chosenSheet(workspace, mapId, 'compressor');
  if (map === undefined) return workspace;
  return withCandidate(workspace, candidateId, (candidate) =>
    candidate[place] === map ? candidate : { ...candidate, [place]: map },
  );
}

/**
 * Puts a turbine sheet of the shelf on a candidate of the open build, which from then on takes its turbine from the sheet; null takes it
 * off. A compressor map changes nothing.
 */
export function assignTurbineSheet(candidateId: string, sheetId: string | null): Change {
  return step('choose turbine sheet', (workspace) => {
    const sheet = chosenSheet(workspace, sheetId, 'turbine');
    if (sheet === undefined) return workspace;
    return withCandidate(workspace, candidateId, (candidate) => {
      const source = sheet === null ? candidate.turbine.source : 'sheet';
      if (candidate.turbineSheet === sheet && candidate.turbine.source === source) return candidate;
      return { ...candidate, turbineSheet: sheet, turbine: { ...candidate.turbine, source } };
    });
  });
}

export function withCandidate(
  workspace: Workspace,
  candidateId: string,
  change: (c: Candidate) => Candidate,
): Workspace {
  return withActiveBuild(workspace, (build) => changeCandidates(build, (c) => (c.id === candidateId ? change(c) : c)));
}

/** The build with every candidate passed through `change`; the same build when none changed. */
export function changeCandidates(build: Build, change: (candidate: Candidate) => Candidate): Build {
  const candidates = build.candidates.map(change);
  return candidates.some((candidate, i) => candidate !== build.candidates[i]) ? { ...build, candidates } : build;
}
