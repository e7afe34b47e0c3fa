import { expect, expectTypeOf, test } from 'vitest';
import type * as z from 'zod/mini';
import type { Build, MapDraft, Settings, Typed, TypedCurve } from '../../src/build/document.ts';
import type { BuildFile, CompressorFile, TurbineFile } from '../../src/build/index.ts';
import { defaultBuild, defaultSettings, demoWorkspace, emptyMap } from '../../src/build/index.ts';
import type {
  buildFileSchema,
  compressorFileSchema,
  mapSheetSchema,
  turbineFileSchema,
  typedCurveSchema,
  typedSchema,
} from '../../src/build/schema.ts';
import { buildSchema, mapDraftSchema, settingsSchema } from '../../src/build/schema.ts';
import type { MapSheet } from '../../src/compressor/types.ts';

/** Every place of a value, as keys from its root; of a list its first entry, for the others are of its kind. */
function placesOf(value: unknown): string[][] {
  if (typeof value !== 'object' || value === null) return [];
  const entries = Object.entries(Array.isArray(value) ? value.slice(0, 1) : value);
  return entries.flatMap(([key, inner]) => [[key], ...placesOf(inner).map((rest) => [key, ...rest])]);
}

const at = (value: unknown, place: readonly string[]): unknown =>
  place.reduce((inner, key) => (inner as Readonly<Record<string, unknown>> | undefined)?.[key], value);

/** A copy in which something stands at a place that can never be meant there. */
function withForeign(value: unknown, place: readonly string[], foreign: unknown): unknown {
  const copy = structuredClone(value);
  (at(copy, place.slice(0, -1)) as Record<string, unknown>)[place.at(-1)!] = foreign;
  return copy;
}

interface Schema {
  safeParse(value: unknown): { success: true; data: unknown } | { success: false };
}

/** Places at which a schema lets through what is of another kind than the value that it is of. */
function placesLetThrough(schema: Schema, value: unknown): string[] {
  const wrong = (place: readonly string[]) => {
    const foreign = typeof at(value, place) === 'object' && at(value, place) !== null ? 7 : { foreign: [7] };
    const parsed = schema.safeParse(withForeign(value, place, foreign));
    return parsed.success && JSON.stringify(at(parsed.data, place)) === JSON.stringify(foreign);
  };
  return placesOf(value)
    .filter(wrong)
    .map((place) => place.join('.'));
}

test('what the schemas give back is exactly what the documented types say', () => {
  // The compiler holds the types equal; at run time nothing of another kind gets through at any place of whole documents.
  const demo = demoWorkspace();
  for (const build of Object.values(demo.builds)) expect(placesLetThrough(buildSchema, build)).toEqual([]);
  for (const map of Object.values(demo.shelf)) expect(placesLetThrough(mapDraftSchema, map)).toEqual([]);
  expect(placesLetThrough(settingsSchema, defaultSettings)).toEqual([]);
  const unheardOf = { ...defaultBuild('b1'), unheardOf: 1 };
  expect(buildSchema.parse(unheardOf)).toEqual(defaultBuild('b1'));
  expectTypeOf<z.infer<typeof typedSchema>>().toEqualTypeOf<Typed>();
  expectTypeOf<z.infer<typeof typedCurveSchema>>().toEqualTypeOf<TypedCurve>();
  expectTypeOf<z.infer<typeof mapDraftSchema>>().toEqualTypeOf<MapDraft>();
  expectTypeOf<z.infer<typeof buildSchema>>().toEqualTypeOf<Build>();
  expectTypeOf<z.infer<typeof settingsSchema>>().toEqualTypeOf<Settings>();
  expectTypeOf<z.infer<typeof mapSheetSchema>>().toEqualTypeOf<MapSheet>();
  // Interfaces that extend compare as equal only when flattened.
  expectTypeOf<z.infer<typeof buildFileSchema>>().toEqualTypeOf<{ [K in keyof BuildFile]: BuildFile[K] }>();
  expectTypeOf<z.infer<typeof compressorFileSchema>>().toEqualTypeOf<{
    [K in keyof CompressorFile]: CompressorFile[K];
  }>();
  expectTypeOf<z.infer<typeof turbineFileSchema>>().toEqualTypeOf<{ [K in keyof TurbineFile]: TurbineFile[K] }>();
});

test('the defaults pass the schemas and come out unchanged', () => {
  const build = defaultBuild('b1');
  expect(buildSchema.parse(build)).toEqual(build);
  expect(mapDraftSchema.parse(emptyMap('m1'))).toEqual(emptyMap('m1'));
  expect(settingsSchema.parse(defaultSettings)).toEqual(defaultSettings);
});
