import * as z from 'zod/mini';
import { buildFileSchema, compressorFileSchema, turbineFileSchema } from './schema.ts';

/*
 * JSON Schemas of the two files, for editors and for scripts that write them. Made from the same zod schemas that read the files;
 * public/ holds the result, and a test holds the two together (`npx vitest run tests/build/jsonSchema.test.ts -u` writes it anew).
 * Not part of the index: the program itself has no use for it.
 */

type JsonSchema = Record<string, unknown>;

/** Schema of the map file, version 1: a compressor map or a turbine sheet. Properties it does not know are allowed and passed over. */
export function mapJsonSchema(): JsonSchema {
  const [compressor, turbine] = [part(compressorFileSchema), part(turbineFileSchema)];
  return {
    $schema: DRAFT,
    $id: 'lugline-map.schema.json',
    title: 'Lugline map file',
    description:
      'A compressor map as read off a sheet, or a turbine sheet ("kind": "turbine"), in the sheet’s own units. Flow is corrected flow at the reference state; that of a turbine may be a flow parameter instead. Of a turbine, "pressureRatio" is the expansion ratio, total to static. Efficiencies are shares (0.74). "entered" repeats the tables as they were typed and may be left out.',
    anyOf: [
      { title: 'Compressor map', ...compressor },
      { title: 'Turbine sheet', ...turbine },
    ],
  };
}

/** Schema of the build file, version 1; a candidate's map, donor and turbine sheet may each also be a whole map file. */
export function buildJsonSchema(): JsonSchema {
  const schema = generate(buildFileSchema) as {
    properties: {
      candidates: { items: { properties: Record<'map' | 'donor' | 'turbineSheet', { anyOf: JsonSchema[] }> } };
    };
  } & JsonSchema;
  const { map, donor, turbineSheet } = schema.properties.candidates.items.properties;
  map.anyOf.push(part(compressorFileSchema));
  donor.anyOf.push(part(compressorFileSchema));
  turbineSheet.anyOf.push(part(turbineFileSchema));
  return {
    ...schema,
    $id: 'lugline-build.schema.json',
    title: 'Lugline build file',
    description:
      'One car: engine, air, exhaust, goal, limits and candidates with their maps and turbine sheets. Numbers are texts as they were typed, each with the key of its unit.',
  };
}

const DRAFT = 'https://json-schema.org/draft/2020-12/schema';

/** A schema that stands inside another one. */
function part(schema: z.core.$ZodType): JsonSchema {
  const { $schema: _same, ...rest } = generate(schema);
  return rest;
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
