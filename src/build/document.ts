import type { Typed, TypedCurve } from './field.ts';
import type { Build, Candidate, DraftLine, FiledSheet, MapDraft, Settings } from './schema.ts';

/*
 * The saved document. Numbers are kept as the text that was typed, with the unit that was chosen; results are never stored. The types
 * follow from the schemas (schema.ts), and those from the table of inputs (fields.ts).
 */
export type { FitmentItem, LogRecord, LogRows } from './schema.ts';
export type { Build, Candidate, DraftLine, FiledSheet, MapDraft, Settings, Typed, TypedCurve };

export type BarometerKind = Build['air']['barometer']['kind'];
export type SavedPlace = Build['places'][number];
export type CandidateCard = Pick<
  Candidate,
  'wheels' | 'housing' | 'claim' | 'turbine' | 'wastegate' | 'rotor' | 'notes'
>;
export type FiledFigure = FiledSheet['figures'][number];
export type DraftCell2 = MapDraft['surgeLine'][number];
export type DraftCell3 = DraftLine['points'][number];

/**
 * Everything on this machine that undo covers and storage keeps. Immutable: every command returns a new one that shares what did not
 * change.
 */
export interface Workspace {
  builds: Readonly<Record<string, Build>>;
  buildOrder: readonly string[];
  activeBuildId: string;
  shelf: Readonly<Record<string, MapDraft>>;
  shelfOrder: readonly string[];
  settings: Settings;
}

/** The sheets of the shelf that a candidate carries: its own map, the donor's, and that of its turbine. */
export function mapsOf(candidate: Candidate): MapDraft[] {
  return [candidate.map, candidate.donor, candidate.turbineSheet].filter((map) => map !== null);
}

/** Every sheet on the shelf and in builds; one that several hold, several times. */
export function allMaps({ shelf, builds }: Pick<Workspace, 'shelf' | 'builds'>): MapDraft[] {
  return [...Object.values(shelf), ...Object.values(builds).flatMap(({ candidates }) => candidates.flatMap(mapsOf))];
}

/**
 * Builds and maps in a wanted order: what is not there is passed over, what is not named stands at the end. Open is the first of `open`
 * that is there, else the first build.
 */
export function arranged(
  { builds, shelf }: Pick<Workspace, 'builds' | 'shelf'>,
  wanted: Pick<Workspace, 'buildOrder' | 'shelfOrder'>,
  open: readonly string[],
): Omit<Workspace, 'settings'> {
  const ordered = (order: readonly string[], objects: object) =>
    [...new Set([...order, ...Object.keys(objects)])].filter((id) => Object.hasOwn(objects, id));
  const buildOrder = ordered(wanted.buildOrder, builds);
  const activeBuildId = [...open, ...buildOrder].find((id) => Object.hasOwn(builds, id)) ?? '';
  return { builds, buildOrder, activeBuildId, shelf, shelfOrder: ordered(wanted.shelfOrder, shelf) };
}

/** The candidate with its sheets passed through `change`; the same candidate when none changed. */
export function withMapsOf(candidate: Candidate, change: (map: MapDraft) => MapDraft): Candidate {
  const changed = (map: MapDraft | null) => (map === null ? null : change(map));
  const map = changed(candidate.map);
  const donor = changed(candidate.donor);
  const turbineSheet = changed(candidate.turbineSheet);
  const isSame = map === candidate.map && donor === candidate.donor && turbineSheet === candidate.turbineSheet;
  return isSame ? candidate : { ...candidate, map, donor, turbineSheet };
}

/** True when two plain JSON values hold the same content; `undefined` and a missing property are the same. */
export function sameContent(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  if (Array.isArray(a) && Array.isArray(b) && a.length !== b.length) return false;
  const left = a as Record<string, unknown>;
  const right = b as Record<string, unknown>;
  const keys = new Set([...Object.keys(left), ...Object.keys(right)]);
  for (const key of keys) if (!sameContent(left[key], right[key])) return false;
  return true;
}

const NO_LOGS: NonNullable<Build['logs']> = [];

/** Its road logs, oldest first. */
export const logsOf = (build: Build): NonNullable<Build['logs']> => build.logs ?? NO_LOGS;

/** `wanted` itself, or with the first free number behind it: 'Bench map', 'Bench map (2)', 'Bench map (3)'. */
export function uniqueName(wanted: string, taken: Iterable<string>): string {
  const names = new Set(taken);
  const plain = wanted.trim() === '' ? 'Untitled' : wanted.trim();
  if (!names.has(plain)) return plain;
  const stem = plain.replace(/ \(\d+\)$/, '');
  for (let n = 2; ; n += 1) {
    const name = `${stem} (${n})`;
    if (!names.has(name)) return name;
  }
}

/** What is wrong with a file or an entry: where, and in plain words what and what to do. */
export interface Problem {
  /** Where it stands, written as in the file ('speedLines[2].points[4].flow'); '' for the whole. */
  path: string;
  message: string;
}

/** The value, or why there is none. Notes are remarks on a value that could be read. */
export type Parsed<T> = { ok: true; value: T; notes: readonly Problem[] } | { ok: false; problems: readonly Problem[] };

/** Shorthand for a single problem. */
export function refused(message: string, path = ''): { ok: false; problems: readonly Problem[] } {
  return { ok: false, problems: [{ path, message }] };
}

/** Shorthand for a value with its notes. */
export function accepted<T>(value: T, notes: readonly Problem[] = []): Parsed<T> {
  return { ok: true, value, notes };
}
