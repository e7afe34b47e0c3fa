import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';

export const ROOT = join(import.meta.dirname, '..');

export interface SourceFile {
  /** From the project's root, with forward slashes. */
  path: string;
  text: string;
  /** The text without comments and with empty string literals. */
  code: string;
  imports: readonly SourceImport[];
}

export interface SourceImport {
  specifier: string;
  /** From the project's root when relative, else null (a package). */
  target: string | null;
  typeOnly: boolean;
}

const IMPORT =
  /(?:^|[\n;}])\s*(?:import|export)\s+(?<type>type\s)?(?:[^'";]*?\sfrom\s*)?(?<quote>['"])(?<from>[^'"\n]+)\k<quote>|\bimport\s*\(\s*(?<quote2>['"])(?<call>[^'"\n]+)\k<quote2>|new\s+URL\(\s*(?<quote3>['"])(?<url>\.[^'"\n]+)\k<quote3>/g;

/** Removes comments; keeps strings, so that import addresses can still be read. */
function withoutComments(text: string): string {
  return text.replace(
    /("(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`)|\/\*[\s\S]*?\*\/|(?<!:)\/\/[^\n]*/g,
    '$1',
  );
}

/** Removes what stands between quotes; a template keeps the expressions inside it out of reach too. */
function withoutStrings(text: string): string {
  return text.replace(/"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`/g, "''");
}

/** An import whose every name is marked `type` costs nothing at run time either. */
function namesOnlyTypes(statement: string): boolean {
  const names = /\{([^}]*)\}/.exec(statement)?.[1];
  if (names === undefined || !/^[\s;}]*(?:import|export)\s*\{/.test(statement)) return false;
  const list = names.split(',').filter((name) => name.trim() !== '');
  return list.length > 0 && list.every((name) => /^\s*type\s/.test(name));
}

/** Every import, re-export, dynamic import and worker address of a module. */
export function readImports(path: string, text: string): SourceImport[] {
  return [...withoutComments(text).matchAll(IMPORT)].map((match) => {
    const { type, from, call, url } = match.groups ?? {};
    const specifier = from ?? call ?? url ?? '';
    const target = specifier.startsWith('.') ? toProjectPath(resolve(ROOT, dirname(path), specifier)) : null;
    return { specifier, target, typeOnly: type !== undefined || namesOnlyTypes(match[0]) };
  });
}

function toProjectPath(absolute: string): string {
  return relative(ROOT, absolute).split(sep).join('/').replace(/\?.*$/, '');
}

/** All TypeScript files under a folder of the project. */
export function readSources(folder: string): SourceFile[] {
  if (!existsSync(join(ROOT, folder))) return [];
  return readdirSync(join(ROOT, folder), { recursive: true })
    .map((name) => `${folder}/${String(name).split(sep).join('/')}`)
    .filter((path) => /\.tsx?$/.test(path))
    .sort()
    .map((path) => {
      const text = readFileSync(join(ROOT, path), 'utf8');
      return { path, text, code: withoutStrings(withoutComments(text)), imports: readImports(path, text) };
    });
}
