import { expect, expectTypeOf, test } from 'vitest';
import type * as z from 'zod/mini';
import type { Build, MapDraft, Settings, Typed, TypedCurve } from '../../src/build/document.ts';
import type { BuildFile, CompressorFile, TurbineFile } from '../../src/build/index.ts';
import { defaultBuild, defaultSettings, emptyMap } from '../../src/build/index.ts';
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

test('what the schemas give back is exactly what the documented types say', () => {
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
