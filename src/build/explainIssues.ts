import type { $ZodIssue } from 'zod/v4/core';
import type { Problem } from './parsed.ts';

/** A file with more slips than this is not mended slip by slip. */
const MOST_SHOWN = 20;

/** A schema's complaints in plain words, each with its path; at most twenty, then how many more. */
export function explainIssues(issues: readonly $ZodIssue[], json: unknown): Problem[] {
  const shown = issues.slice(0, MOST_SHOWN).map((issue) => ({
    path: pathText(issue.path),
    message: sentence(issue, valueAt(json, issue.path)),
  }));
  const more = issues.length - shown.length;
  if (more > 0) shown.push({ path: '', message: `And ${more.toLocaleString('en')} more problems of this kind.` });
  return shown;
}

/** ['speedLines', 2, 'flow'] -> 'speedLines[2].flow'. */
export function pathText(path: readonly PropertyKey[]): string {
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
  if (origin === 'string') return 'This text must not be empty.';
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
