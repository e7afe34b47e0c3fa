import { codesOf, hashOf, memory } from '../numerics/index.ts';
import type { LuglineDatabase } from './database.ts';

/*
 * Every record that this program writes is sealed: a hash of the program's form, the record's place and its content is kept in the meta
 * record 'seals'. A record whose seal agrees was written whole by this very program, which writes only what has passed the gate: it is
 * taken as it is, and the page opens without the schemas, which come after the first picture. Whatever else is found goes through the
 * gate: what another version wrote, what was damaged. A memory, not data: seals that are lost cost one visit the time of the gate. Against
 * accidents, not against intent: whoever can write into this database can run this program.
 */

declare const __FORM__: string;

/** A hash of all that says what may stand in a record, put in when the page is built; empty while developing, where nothing is sealed. */
const FORM: string = __FORM__;

/** Place in the store: 'builds/<key>'. */
export type Seals = ReadonlyMap<string, string>;

export const SEALS = 'seals';

/** The seal of a record; null for what is not plain data through and through, which no seal can vouch for. */
export function sealOf(place: string, record: unknown): string | null {
  const text = FORM === '' ? null : textOf(record, CUT);
  return text === null ? null : hashOf(codesOf(JSON.stringify([FORM, place, text])));
}

/**
 * What stands so deep in a record (its file, of that each property) is hashed by itself and remembered while it is the same object: a build
 * with its road logs can be megabytes, of which an edit changes a line.
 */
const CUT = 2;
/** Deeper than any record of ours; what holds itself is deeper than that. */
const MAX_DEPTH = 40;

const known = memory<object, string | null>();

function textOf(value: unknown, cut: number): string | null {
  if (typeof value !== 'object' || value === null) return isPlain(value, 0) ? JSON.stringify(value) : null;
  if (cut === 0 || !isObject(value)) return known(value, [], () => hashOfPlain(value));
  const inner = Object.entries(value)
    .filter(([, one]) => one !== undefined)
    .map(([key, one]) => [key, textOf(one, cut - 1)] as const);
  return inner.some(([, text]) => text === null) ? null : JSON.stringify(inner);
}

function hashOfPlain(value: object): string | null {
  return isPlain(value, 0) ? `#${hashOf(codesOf(JSON.stringify(value)))}` : null;
}

/** What JSON holds without loss. A property that is undefined is the same as none. */
function isPlain(value: unknown, depth: number): boolean {
  if (typeof value === 'number') return Number.isFinite(value);
  if (typeof value !== 'object' || value === null)
    return value === null || typeof value === 'string' || typeof value === 'boolean';
  if (depth > MAX_DEPTH) return false;
  if (Array.isArray(value)) {
    // A hole comes as undefined.
    for (const item of value) if (!isPlain(item, depth + 1)) return false;
    return true;
  }
  if (!isObject(value)) return false;
  for (const inner of Object.values(value)) if (inner !== undefined && !isPlain(inner, depth + 1)) return false;
  return true;
}

const isObject = (value: object) => Object.getPrototypeOf(value)?.constructor === Object;

export function sealsIn(stored: unknown): Seals {
  return stored instanceof Map ? stored : new Map();
}

/** The seals with those of `records` renewed and those of `gone` places taken away. */
export function resealed(
  stored: unknown,
  records: readonly (readonly [place: string, seal: string | null])[],
  gone: readonly string[] = [],
): Seals {
  const seals = new Map(sealsIn(stored));
  for (const place of gone) seals.delete(place);
  for (const [place, seal] of records) {
    if (seal === null) seals.delete(place);
    else seals.set(place, seal);
  }
  return seals;
}

/** Seals what has passed the gate just as it stands, so that the next visit need not ask again. Never throws. */
export async function sealPassed(database: LuglineDatabase, passed: ReadonlyMap<string, unknown>): Promise<void> {
  const records = [...passed].map(([place, record]) => [place, sealOf(place, record)] as const);
  try {
    const { store, done } = database.transaction('meta', 'readwrite', { durability: 'relaxed' });
    await store.put(resealed(await store.get(SEALS), records), SEALS);
    await done;
  } catch {
    // The next visit asks again.
  }
}
