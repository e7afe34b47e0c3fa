import type { Build, Typed, TypedCurve } from './document.ts';

/** What a field holds: a typed number, a curve, or a choice. */
type Leaf = Typed | TypedCurve | string | number | boolean;

export type PathsOf<T> = {
  [K in keyof T & string]-?: NonNullable<T[K]> extends Leaf ? K : `${K}.${PathsOf<NonNullable<T[K]>>}`;
}[keyof T & string];

export type At<T, P extends string> = P extends `${infer K}.${infer Rest}`
  ? K extends keyof T
    ? At<T[K], Rest>
    : never
  : P extends keyof T
    ? T[P]
    : never;

type Fields = Omit<Build, 'id' | 'name' | 'invented' | 'places' | 'candidates' | 'fitment' | 'filed'>;

/** Every field of a build by its place: 'air.altitude', 'chargePath.cooler.kind', 'goal.curves.gauge-boost'. */
export type BuildPath = PathsOf<Fields>;

/** What the field at that path holds. */
export type BuildValue<P extends BuildPath> = At<Fields, P>;

/** The field at a path. */
export function getBuildField<P extends BuildPath>(build: Build, path: P): BuildValue<P> {
  let value: unknown = build;
  for (const key of path.split('.')) value = (value as Record<string, unknown>)[key];
  return value as BuildValue<P>;
}

/** The build with one field changed; everything beside the path is shared. */
export function withBuildField<P extends BuildPath>(build: Build, path: P, value: BuildValue<P>): Build {
  return replaceAt(build, path.split('.'), value) as Build;
}

/** `whole` with the value at the end of the keys replaced; what does not change is shared. */
export function replaceAt(whole: unknown, keys: readonly string[], value: unknown): unknown {
  const [key, ...rest] = keys;
  if (key === undefined) return value;
  const group = whole as Record<string, unknown>;
  const next = replaceAt(group[key], rest, value);
  return next === group[key] ? whole : { ...group, [key]: next };
}
