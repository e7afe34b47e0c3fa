import type { Build, Candidate, MapDraft } from './document.ts';
import { explainIssues } from './explainIssues.ts';
import { type FormatHistory, openFormat } from './formatHistory.ts';
import { mapFileToDraft } from './mapFile.ts';
import { withMapsOf } from './mapsOf.ts';
import { accepted, type Parsed, type Problem } from './parsed.ts';
import { sameContent } from './sameContent.ts';
import { buildFileSchema } from './schema.ts';

/** The build file: the build as it stands, its maps embedded, so that one file re-opens everything. */
export interface BuildFile extends Build {
  format: 'lugline-build';
  version: 1;
}

/** When version 2 comes, steps[1] brings a version-1 file up, and tests/fixtures keeps a version-1 file for ever. */
const HISTORY: FormatHistory = {
  format: 'lugline-build',
  calledKind: 'build file',
  version: 1,
  maxValues: 800_000,
  steps: {},
};

/**
 * A build file (any version so far). A candidate's map, donor or turbine sheet may stand as the tables that Lugline writes or as
 * a whole map file ("format": "lugline-map"). Gives a list of problems with their paths when the file is foreign, damaged or of a later
 * version.
 */
export function parseBuildFile(json: unknown): Parsed<BuildFile> {
  const opened = openFormat(json, HISTORY);
  if (!opened.ok) return opened;
  const { file, problems, notes } = withMapFilesOpened(opened.value);
  const result = buildFileSchema.safeParse(file);
  if (!result.success) return { ok: false, problems: [...problems, ...explainIssues(result.error.issues, file)] };
  if (problems.length > 0) return { ok: false, problems };
  return accepted({ ...result.data, candidates: sharingMaps(result.data.candidates) }, notes);
}

/** The build as a file. */
export function buildToFile(build: Build): BuildFile {
  return { format: 'lugline-build', version: 1, ...build };
}

/** The build without the file's own two marks. */
export function fileToBuild(file: BuildFile): Build {
  const { format: _format, version: _version, ...build } = file;
  return build;
}

/** Sheets that a candidate may carry, and what their ids are made of where a file has none. */
const SHEETS = [
  { part: 'map', called: 'map' },
  { part: 'donor', called: 'donor' },
  { part: 'turbineSheet', called: 'turbine' },
] as const;

function withMapFilesOpened(file: Record<string, unknown>) {
  const problems: Problem[] = [];
  const notes: Problem[] = [];
  if (!Array.isArray(file.candidates)) return { file, problems, notes };
  const opened = (map: unknown, path: string, freshId: string): unknown => {
    if (typeof map !== 'object' || map === null || (map as { format?: unknown }).format === undefined) return map;
    const draft = mapFileToDraft(map, freshId);
    const inside = (p: Problem) => ({ ...p, path: `${path}${p.path === '' ? '' : `.${p.path}`}` });
    if (draft.ok) {
      notes.push(...draft.notes.map(inside));
      return draft.value;
    }
    problems.push(...draft.problems.map(inside));
    return null;
  };
  const candidates = file.candidates.map((candidate: unknown, index) => {
    if (typeof candidate !== 'object' || candidate === null) return candidate;
    const at = `candidates[${index}]`;
    const carried = candidate as Record<string, unknown>;
    const maps = Object.fromEntries(
      SHEETS.filter(({ part }) => carried[part] !== undefined).map(({ part, called }) => {
        const freshId = `${String(file.id)}-${called}-${index + 1}`;
        return [part, opened(carried[part], `${at}.${part}`, freshId)];
      }),
    );
    return { ...candidate, ...maps };
  });
  return { file: { ...file, candidates }, problems, notes };
}

/** Candidates that carry the same map carry the same object; two different maps never carry the same id. */
function sharingMaps(candidates: readonly Candidate[]): Candidate[] {
  const seen = new Map<string, MapDraft>();
  let made = 0;
  return candidates.map((candidate) =>
    withMapsOf(candidate, (map) => {
      made += 1;
      const first = seen.get(map.id);
      if (first !== undefined && sameContent(first, map)) return first;
      const settled = first === undefined ? map : { ...map, id: `${map.id}-${made}` };
      seen.set(settled.id, settled);
      return settled;
    }),
  );
}
