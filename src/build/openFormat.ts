import type { $ZodIssue } from 'zod/v4/core';
import { formatNumber, writableText } from '../units/index.ts';
import { accepted, type Parsed, type Problem, refused } from './document.ts';

/** Deepest nesting accepted from outside; our own files need 9 levels. */
const MAX_DEPTH = 40;
/** These names reach into JavaScript's own objects; no honest file carries them. */
const FORBIDDEN_KEYS = new Set(['__proto__', 'constructor', 'prototype']);

interface Group {
  value: object;
  depth: number;
  path: string;
}

/**
 * Refuses what no schema should be let loose on: nesting beyond 40 levels, more than `maxValues` values, property names that reach
 * into JavaScript's objects, anything that JSON cannot hold (functions, NaN, infinities, objects that contain themselves).
 * Walks without recursion, so that a hostile file cannot exhaust the stack.
 */
function guardJson(json: unknown, maxValues: number): Parsed<unknown> {
  const bad = scalarProblem(json);
  if (bad !== null) return refused(bad);
  const stack: Group[] = typeof json === 'object' && json !== null ? [{ value: json, depth: 1, path: '' }] : [];
  let values = 0;
  for (let group = stack.pop(); group !== undefined; group = stack.pop()) {
    if (group.depth > MAX_DEPTH) return refused(tooDeep());
    const keys = Object.keys(group.value);
    values += keys.length;
    if (values > maxValues) {
      return refused(`The file holds more than ${formatNumber(maxValues, 0)} values; a file of this kind never does.`);
    }
    const problem = pushChildren(group, keys, stack);
    if (problem !== null) return problem;
  }
  return accepted(json);
}

function pushChildren(group: Group, keys: readonly string[], stack: Group[]): ReturnType<typeof refused> | null {
  const inList = Array.isArray(group.value);
  for (const key of keys) {
    if (FORBIDDEN_KEYS.has(key)) {
      return refused(`A property may not be called '${key}'. Remove it from the file.`, group.path);
    }
    const child = (group.value as Record<string, unknown>)[key];
    const bad = scalarProblem(child);
    if (bad === null && (typeof child !== 'object' || child === null)) continue;
    const path = inList ? `${group.path}[${key}]` : group.path === '' ? key : `${group.path}.${key}`;
    if (bad !== null) return refused(bad, path);
    stack.push({ value: child as object, depth: group.depth + 1, path });
  }
  return null;
}

function tooDeep(): string {
  return `The file is nested more than ${MAX_DEPTH} levels deep; it is not a Lugline file.`;
}

function scalarProblem(value: unknown): string | null {
  switch (typeof value) {
    case 'string':
    case 'boolean':
    case 'undefined':
    case 'object':
      return null;
    case 'number':
      return Number.isFinite(value) ? null : 'A number is missing here (it is not finite).';
    default:
      return `A ${typeof value} cannot stand in a file.`;
  }
}

/**
 * Text of a file to JSON. Nesting is counted before parsing; the other guards (guardJson) follow when the format is known.
 * A text that is not JSON is refused.
 */
export function readJsonText(text: string): Parsed<unknown> {
  const clean = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  if (clean.trim() === '') return refused('The file is empty.');
  if (nestsTooDeep(clean)) {
    return refused(tooDeep());
  }
  try {
    const isForbidden = HIDDEN.test(clean) || writableText(clean) !== clean;
    if (!isForbidden) return accepted(JSON.parse(clean) as unknown);
    let left = 0;
    const json: unknown = JSON.parse(clean, (_key, value: unknown) => {
      if (typeof value !== 'string') return value;
      const writable = writableText(value);
      left += value.length - writable.length;
      return writable;
    });
    return accepted(json, left === 0 ? [] : [{ path: '', message: LEFT_OUT }]);
  } catch {
    return refused('The file is not JSON, or it was cut short. Lugline reads the files that it saves itself (.json).');
  }
}

const LEFT_OUT = 'Control characters in its texts, which no drawing can hold, were left out; nothing else was.';
/** Such a character as JSON writes it. */
const HIDDEN = /\\(?:[bf]|u00(?:0[0-8bce]|0f|1[\da-f])|ud[89a-f][\da-f]{2}|uff?f[ef])/i;

function nestsTooDeep(text: string): boolean {
  let depth = 0;
  let inText = false;
  for (let i = 0; i < text.length; i += 1) {
    const c = text.charCodeAt(i);
    if (inText) {
      if (c === 0x5c) i += 1;
      else if (c === 0x22) inText = false;
    } else if (c === 0x22) inText = true;
    else if (c === 0x7b || c === 0x5b) {
      depth += 1;
      if (depth > MAX_DEPTH + 1) return true;
    } else if (c === 0x7d || c === 0x5d) depth -= 1;
  }
  return false;
}

/** A file with more slips than this is not mended slip by slip. */
const MOST_SHOWN = 20;

/** A schema's complaints in plain words, each with its path; at most twenty, then how many more. */
function explainIssues(issues: readonly $ZodIssue[], json: unknown): Problem[] {
  const shown = issues.slice(0, MOST_SHOWN).map((issue) => ({
    path: pathText(issue.path),
    message: sentence(issue, valueAt(json, issue.path)),
  }));
  return firstOf(shown, issues.length);
}

/** What a schema makes of plain data, or its complaints in plain words. */
export function parseBy<T>(
  schema: {
    safeParse(json: unknown): { success: true; data: T } | { success: false; error: { issues: readonly $ZodIssue[] } };
  },
  json: unknown,
): Parsed<T> {
  const result = schema.safeParse(json);
  return result.success ? accepted(result.data) : { ok: false, problems: explainIssues(result.error.issues, json) };
}

/** The first twenty, then how many more. */
export function firstOf(problems: readonly Problem[], count = problems.length): Problem[] {
  const shown = problems.slice(0, MOST_SHOWN);
  const more = count - shown.length;
  if (more > 0) shown.push({ path: '', message: `And ${formatNumber(more, 0)} more problems of this kind.` });
  return shown;
}

/** ['speedLines', 2, 'flow'] -> 'speedLines[2].flow'. */
function pathText(path: readonly PropertyKey[]): string {
  return path.reduce<string>((text, key) => {
    if (typeof key === 'number') return `${text}[${key}]`;
    return text === '' ? String(key) : `${text}.${String(key)}`;
  }, '');
}

function valueAt(json: unknown, path: readonly PropertyKey[]): unknown {
  let value = json;
  for (const key of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}

function sentence(issue: $ZodIssue, value: unknown): string {
  if (issue.code === 'custom') return issue.message;
  if (value === undefined) return 'This is missing; it must be given.';
  switch (issue.code) {
    case 'invalid_type':
      return `This must be ${kindName(issue.expected)}, not ${found(value)}.`;
    case 'invalid_value':
      return `This must be ${issue.values.map((v) => JSON.stringify(v)).join(' or ')}, not ${found(value)}.`;
    case 'too_small':
      return bound(issue.inclusive === true ? 'at least' : 'greater than', issue.minimum, issue.origin, value);
    case 'too_big':
      return bound(issue.inclusive === true ? 'at most' : 'less than', issue.maximum, issue.origin, value);
    case 'invalid_union':
      return `This is not one of the forms that can stand here (found ${found(value)}).`;
    case 'unrecognized_keys':
    case 'invalid_key':
      return `This holds a name that is not known here: ${found(value)}.`;
    default:
      return `This cannot be read (found ${found(value)}).`;
  }
}

function bound(words: string, limit: number | bigint, origin: string, value: unknown): string {
  if (origin === 'string')
    return words === 'at most'
      ? `This text is longer than ${formatNumber(Number(limit), 0)} characters. Shorten it.`
      : 'This text must not be empty.';
  const percent = limit === 1 && words === 'at most' ? ' Write 0.74 for 74 %.' : '';
  return `This must be ${words} ${limit}, not ${found(value)}.${percent}`;
}

function kindName(expected: string): string {
  const names: Record<string, string> = {
    number: 'a number',
    int: 'a whole number',
    string: 'text',
    boolean: 'true or false',
    array: 'a list',
    object: 'a group of named values',
    record: 'a group of named values',
  };
  return names[expected] ?? `of kind '${expected}'`;
}

function found(value: unknown): string {
  if (value === null) return 'nothing (null)';
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object') return 'a group of named values';
  const text = typeof value === 'string' ? `the text '${value}'` : String(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

type JsonObject = Record<string, unknown>;

/** One saved format: its present version, and the step from each earlier version to the next. */
export interface FormatHistory {
  format: string;
  /** As a person calls it: 'map file'. */
  calledKind: string;
  version: number;
  /** More values than this in one file of the kind are refused. */
  maxValues: number;
  /** steps[1] takes a version-1 object to version 2, and so on. */
  steps: Readonly<Record<number, (older: JsonObject) => JsonObject>>;
}

/**
 * The formats that Lugline saves, and what a file of each is. When version 2 of one comes, steps[1] brings a version-1 file up, and
 * tests/fixtures keeps a version-1 file for ever.
 */
export const FORMATS = {
  map: { format: 'lugline-map', calledKind: 'map file', is: 'a map file', version: 1, maxValues: 400_000, steps: {} },
  build: {
    format: 'lugline-build',
    calledKind: 'build file',
    is: 'a build file',
    version: 1,
    maxValues: 800_000,
    steps: {},
  },
  backup: {
    format: 'lugline-backup',
    calledKind: 'backup',
    is: 'a backup of everything',
    version: 1,
    maxValues: 5_000_000,
    steps: {},
  },
} satisfies Record<string, FormatHistory & { is: string }>;

/**
 * Checks that `json` is a file of this format and brings it to the present version. A foreign file, another Lugline format, and a
 * version that this program does not know yet are refused, each with its own sentence.
 */
export function openFormat(json: unknown, history: FormatHistory): Parsed<JsonObject> {
  const guarded = guardJson(json, history.maxValues);
  if (!guarded.ok) return guarded;
  if (typeof json !== 'object' || json === null || Array.isArray(json)) return refused(foreign(history));
  const file = json as JsonObject;
  if (file.format !== history.format) {
    const other = Object.values(FORMATS).find(({ format }) => format === file.format);
    return refused(other ? `This is ${other.is}, not a ${history.calledKind}.` : foreign(history), 'format');
  }
  const { version } = file;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return refused(`The version must be a whole number from 1 to ${history.version}.`, 'version');
  }
  if (version > history.version) {
    return refused(
      `This ${history.calledKind} is of version ${version}; this program reads up to version ${history.version}. Open it with a newer Lugline.`,
      'version',
    );
  }
  return stepUp(file, version, history);
}

function stepUp(file: JsonObject, from: number, history: FormatHistory): Parsed<JsonObject> {
  let current = file;
  for (let version = from; version < history.version; version += 1) {
    const step = history.steps[version];
    if (step === undefined)
      return refused(`Version ${version} of the ${history.calledKind} can no longer be read.`, 'version');
    try {
      current = { ...step(current), version: version + 1 };
    } catch {
      return refused(
        `The ${history.calledKind} is damaged: it could not be brought from version ${version} up to date.`,
      );
    }
  }
  return accepted(current);
}

function foreign(history: FormatHistory): string {
  return `This is not a Lugline ${history.calledKind}: it does not say "format": "${history.format}".`;
}
