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
