import * as z from 'zod/mini';

const list = <T extends z.core.SomeType>(item: T) => z.readonly(z.array(item));
const typedSchema = z.object({ text: z.string(), unit: z.string() });
const size = z.int().check(z.gte(1), z.lte(100_000));

const pictureSchema = z.object({
  id: z.string().check(z.minLength(1)),
  name: z.string(),
  page: z.optional(z.int().check(z.gte(1))),
  width: size,
  height: size,
  kept: z.boolean(),
});

const tracingSchema = z.object({
  picture: z.nullable(pictureSchema),
  look: z.object({
    quarterTurns: z.union([z.literal(0), z.literal(1), z.literal(2), z.literal(3)]),
    turnDeg: z.number().check(z.gte(-45), z.lte(45)),
    brightness: z.number().check(z.gte(0.1), z.lte(4)),
    fade: z.number().check(z.gte(0), z.lte(1)),
  }),
  axes: z.object({
    mode: z.enum(['axes', 'grid']),
    points: list(
      z.object({
        on: z.enum(['flow-axis', 'ratio-axis', 'grid']),
        x: z.string(),
        y: z.string(),
        flow: z.string(),
        pressureRatio: z.string(),
      }),
    ),
  }),
  marks: list(z.object({ flow: z.string(), pressureRatio: z.string(), x: z.number(), y: z.number() })),
});

/** Schemas of what tracing.ts describes, to be spread into the tables of a map; a map without them was typed. */
export const tracedParts = {
  tracing: z.optional(tracingSchema),
  provenance: z.optional(z.object({ readBy: z.string(), readFrom: z.string(), readOn: z.string() })),
  habits: z.optional(
    z.object({ designSpeed: typedSchema, outletPressure: z.enum(['total', 'static']), outletDiameter: typedSchema }),
  ),
  efficiencyReadings: z.optional(
    list(z.object({ flow: z.string(), pressureRatio: z.string(), efficiency: z.string() })),
  ),
  assumed: z.optional(list(z.string())),
};

/** A picture inside a map file. */
export const embeddedPictureSchema = z.object({
  type: z.enum(['image/png', 'image/jpeg', 'image/webp']),
  /** The file's bytes, base64. */
  data: z.string(),
});
