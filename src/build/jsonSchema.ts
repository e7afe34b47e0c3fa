import * as z from 'zod/mini';
import { buildFileSchema, mapFileSchema } from './schema.ts';

/*
 * JSON Schemas of the two files, for editors and for scripts that write them. Made from the same zod schemas that read the files;
 * public/ holds the result, and a test holds the two together (`npx vitest run tests/build/jsonSchema.test.ts -u` writes it anew).
 * Not part of the index: the program itself has no use for it.
 */

type JsonSchema = Record<string, unknown>;

/** Schema of the map file, version 1. Properties it does not know are allowed and passed over. */
export function mapJsonSchema(): JsonSchema {
  return {
    ...generate(mapFileSchema),
    $id: 'lugline-map.schema.json',
    title: 'Lugline map file',
    description:
      'A compressor map as read off a sheet, in the sheet’s own units. Flow is corrected flow at the reference state; efficiencies are shares (0.74). "entered" repeats the tables as they were typed and may be left out.',
  };
}

/** Schema of the build file, version 1; a candidate's map may also be a whole map file. */
export function buildJsonSchema(): JsonSchema {
  const schema = generate(buildFileSchema) as {
    properties: { candidates: { items: { properties: Record<'map' | 'donor', { anyOf: JsonSchema[] }> } } };
  } & JsonSchema;
  const { $schema: _same, ...mapFile } = generate(mapFileSchema);
  for (const part of ['map', 'donor'] as const) {
    schema.properties.candidates.items.properties[part].anyOf.push(mapFile);
  }
  return {
    ...schema,
    $id: 'lugline-build.schema.json',
    title: 'Lugline build file',
    description:
      'One car: engine, air, goal, limits and candidates with their maps. Numbers are texts as they were typed, each with the key of its unit.',
  };
}

function generate(schema: z.core.$ZodType): JsonSchema {
  return z.toJSONSchema(schema, {
    // 'input': further properties are allowed, as the parsers allow them.
    io: 'input',
    override: ({ jsonSchema }) => {
      // Read-only is how the program treats its data; it says nothing about the file.
      delete jsonSchema.readOnly;
    },
  }) as JsonSchema;
}
