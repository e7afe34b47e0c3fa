import { accepted, type Parsed, refused } from './parsed.ts';

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
export function guardJson(json: unknown, maxValues: number): Parsed<unknown> {
  const bad = scalarProblem(json);
  if (bad !== null) return refused(bad);
  const stack: Group[] = typeof json === 'object' && json !== null ? [{ value: json, depth: 1, path: '' }] : [];
  let values = 0;
  for (let group = stack.pop(); group !== undefined; group = stack.pop()) {
    if (group.depth > MAX_DEPTH) return refused(tooDeep());
    const keys = Object.keys(group.value);
    values += keys.length;
    if (values > maxValues) {
      return refused(
        `The file holds more than ${maxValues.toLocaleString('en')} values; a file of this kind never does.`,
      );
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
    return accepted(JSON.parse(clean) as unknown);
  } catch {
    return refused('The file is not JSON, or it was cut short. Lugline reads the files that it saves itself (.json).');
  }
}

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
