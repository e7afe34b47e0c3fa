import * as z from 'zod/mini';

export const list = <T extends z.core.SomeType>(item: T) => z.readonly(z.array(item));
/** A number as it was typed, with its unit. */
export const typedSchema = z.object({ text: z.string(), unit: z.string() });
const size = z.int().check(z.gte(1), z.lte(100_000));

const pictureSchema = z.object({
  /** Key of the picture in the browser's store of pictures, which undo does not cover. */
  id: z.string().check(z.minLength(1)),
  /** Name of the file that it came from. */
  name: z.string(),
  /** Page of a document of several pages, from 1. */
  page: z.optional(z.int().check(z.gte(1))),
  width: size,
  height: size,
  /** Kept with the map: saved into its file. */
  kept: z.boolean(),
});

/**
 * How a map was read off a picture of its sheet. The cells of the tables are the reading; what stands here only says where on the
 * picture they came from. Places are pixels of the picture as it is stored, its top left corner at (0, 0).
 */
const tracingSchema = z.object({
  /** null: no picture yet, or taken away. */
  picture: z.nullable(pictureSchema),
  /** For the eye only: places and values do not depend on it. `turnDeg` clockwise; brightness 1 and fade 0: as it is. */
  look: z.object({
    quarterTurns: z.union([z.literal(0), z.literal(1), z.literal(2), z.literal(3)]),
    turnDeg: z.number().check(z.gte(-45), z.lte(45)),
    brightness: z.number().check(z.gte(0.1), z.lte(4)),
    fade: z.number().check(z.gte(0), z.lte(1)),
  }),
  axes: z.object({
    mode: z.enum(['axes', 'grid']),
    /** Places of known value. Empty texts: not placed yet, or not known. */
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
  /** Where cells were read. A mark counts as long as cells with exactly these texts stand in the tables. */
  marks: list(z.object({ flow: z.string(), pressureRatio: z.string(), x: z.number(), y: z.number() })),
});

/** How the sheet prints what other sheets print otherwise. */
const habitsSchema = z.object({
  /** Speed that stands for 100 % where speeds are typed in percent ('80 %'). */
  designSpeed: typedSchema,
  /** Outlet pressure that the pressure ratio is made with. */
  outletPressure: z.enum(['total', 'static']),
  /** Where the static outlet pressure was taken; empty text: not given. */
  outletDiameter: typedSchema,
});

/** Parts of a map that only a traced one has, to be spread into the tables of a map. */
export const tracedParts = {
  tracing: z.optional(tracingSchema),
  provenance: z.optional(z.object({ readBy: z.string(), readFrom: z.string(), readOn: z.string() })),
  habits: z.optional(habitsSchema),
  /** Efficiencies printed at single places of the sheet. */
  efficiencyReadings: z.optional(
    list(z.object({ flow: z.string(), pressureRatio: z.string(), efficiency: z.string() })),
  ),
  /** What was taken for granted when the sheet was completed, in plain words. */
  assumed: z.optional(list(z.string())),
};

export type MapTracing = z.infer<typeof tracingSchema>;
export type SheetPicture = z.infer<typeof pictureSchema>;
export type PictureLook = MapTracing['look'];
export type AxisPoint = MapTracing['axes']['points'][number];
export type TracedMark = MapTracing['marks'][number];
export type SheetHabits = z.infer<typeof habitsSchema>;
export type EmbeddedPicture = z.infer<typeof embeddedPictureSchema>;

/** A map that was never traced, about to be. Two points an axis, as a straight scan needs. */
export const emptyTracing: MapTracing = {
  picture: null,
  look: { quarterTurns: 0, turnDeg: 0, brightness: 1, fade: 0 },
  axes: {
    mode: 'axes',
    points: [axisPoint('flow-axis'), axisPoint('flow-axis'), axisPoint('ratio-axis'), axisPoint('ratio-axis')],
  },
  marks: [],
};

export const emptyHabits: SheetHabits = {
  designSpeed: { text: '', unit: 'rpm' },
  outletPressure: 'total',
  outletDiameter: { text: '', unit: 'mm' },
};

/** A point of an axis that is neither placed nor known. */
export function axisPoint(on: AxisPoint['on']): AxisPoint {
  return { on, x: '', y: '', flow: '', pressureRatio: '' };
}

/** A picture inside a map file. */
export const embeddedPictureSchema = z.object({
  type: z.enum(['image/png', 'image/jpeg', 'image/webp']),
  /** The file's bytes, base64. */
  data: z.string(),
});
