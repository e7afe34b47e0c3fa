import { expect, expectTypeOf, test } from 'vitest';
import type * as z from 'zod/mini';
import { type Field, type Fields, isField, valueAt } from '../../src/build/field.ts';
import { fields } from '../../src/build/fields.ts';
import type { BuildFile } from '../../src/build/index.ts';
import { defaultBuild, defaultSettings, emptyMap } from '../../src/build/index.ts';
import type { buildFileSchema, mapSheetSchema } from '../../src/build/schema.ts';
import { buildSchema, mapDraftSchema, settingsSchema } from '../../src/build/schema.ts';
import type { MapSheet } from '../../src/compressor/types.ts';
import { findUnit, parseQuantity } from '../../src/units/index.ts';

/** Every field of the table with its path. */
function list(part: Fields, at = ''): [string, Field][] {
  return Object.entries(part).flatMap(([key, inner]) =>
    isField(inner) ? [[at + key, inner] as [string, Field]] : list(inner, `${at}${key}.`),
  );
}
const ALL = list(fields);

test.each(ALL)('%s begins with a value that its own row allows', (_path, field) => {
  if (field.kind === 'choice') expect(field.options.map(({ key }) => key)).toContain(field.start);
  if (field.kind === 'curve') {
    expect(field.start.rows.length).toBeGreaterThan(0);
    for (const { value } of field.start.rows) expectWithin(value, field.start.unit, field);
  }
  if (field.kind === 'number') {
    for (const unit of field.units ?? []) expect(findUnit(field.quantity, unit)).not.toBeNull();
    expect(findUnit(field.quantity, field.start.unit)).not.toBeNull();
    if (field.start.text !== '') expectWithin(field.start.text, field.start.unit, field);
  }
});

function expectWithin(text: string, unit: string, { quantity, low, high }: Extract<Field, { low: number }>) {
  const parsed = parseQuantity(text, quantity, unit);
  if (!parsed.ok) throw new Error(parsed.message);
  expect(parsed.si).toBeGreaterThanOrEqual(low);
  expect(parsed.si).toBeLessThanOrEqual(high);
}

const place = { id: 'p1', name: 'Place', ...defaultBuild('b1').air };
const holders = { ...defaultBuild('b1'), place, candidate: defaultBuild('b1').candidates[0], map: emptyMap('m1') };

test.each(ALL)('the schema keeps what %s holds, and refuses a value of another kind', (path, field) => {
  const wrong = field.kind === 'switch' ? 'yes' : 7;
  const [owner, ...inner] = path.split('.');
  const inFile =
    owner === 'place'
      ? ['places', '0', ...inner]
      : owner === 'candidate'
        ? ['candidates', '0', ...inner]
        : path.split('.');
  const schema = owner === 'map' ? mapDraftSchema : buildSchema;
  const at = (owner === 'map' ? inner : inFile).join('.');
  const file = () =>
    structuredClone(owner === 'map' ? holders.map : { ...defaultBuild('b1'), places: [place] }) as Record<
      string,
      unknown
    >;
  expect(valueAt(schema.parse(file()), at)).toEqual(valueAt(holders, path));
  const broken = file();
  const keys = at.split('.');
  const last = keys.pop() ?? '';
  (keys.length === 0 ? broken : (valueAt(broken, keys.join('.')) as Record<string, unknown>))[last] = wrong;
  expect(schema.safeParse(broken).success).toBe(false);
});

test('files hold exactly what the types say that do not follow from the schemas', () => {
  expectTypeOf<z.infer<typeof mapSheetSchema>>().toEqualTypeOf<MapSheet>();
  // Interfaces that extend compare as equal only when flattened.
  expectTypeOf<z.infer<typeof buildFileSchema>>().toEqualTypeOf<{ [K in keyof BuildFile]: BuildFile[K] }>();
});

test('the defaults pass the schemas and come out unchanged', () => {
  const build = defaultBuild('b1');
  expect(buildSchema.parse(build)).toEqual(build);
  expect(mapDraftSchema.parse(emptyMap('m1'))).toEqual(emptyMap('m1'));
  expect(settingsSchema.parse(defaultSettings)).toEqual(defaultSettings);
});
