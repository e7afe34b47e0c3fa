import { expect, test } from 'vitest';
import { buildJsonSchema, mapJsonSchema } from '../../src/build/jsonSchema.ts';

const text = (schema: unknown) => `${JSON.stringify(schema, null, 2)}\n`;

test('the schemas in public/ are the ones that the program reads files by', async () => {
  await expect(text(mapJsonSchema())).toMatchFileSnapshot('../../public/lugline-map.schema.json');
  await expect(text(buildJsonSchema())).toMatchFileSnapshot('../../public/lugline-build.schema.json');
});

test('the map schema asks for what design of the file asks for, and leaves the rest open', () => {
  const { anyOf } = mapJsonSchema() as {
    anyOf: { required: string[]; properties: Record<string, { const?: unknown }> }[];
  };
  const [schema, turbine] = anyOf;
  if (schema === undefined || turbine === undefined) throw new Error('two kinds of sheet expected');
  expect([...turbine.required].sort()).toEqual(['format', 'kind', 'name', 'source', 'speedLines', 'version']);
  expect(turbine.properties.kind?.const).toBe('turbine');
  expect([...schema.required].sort()).toEqual(
    ['flowUnit', 'format', 'name', 'reference', 'source', 'speedLines', 'version'].sort(),
  );
  expect(schema.properties.format?.const).toBe('lugline-map');
  expect(JSON.stringify(schema)).not.toContain('"additionalProperties":false');
});
