import * as z from 'zod/mini';
import type { DraftCell3, Typed } from './document.ts';

/**
 * How a map was read off a picture of its sheet. The cells of the tables are the reading; what stands here only says where on the
 * picture they came from. Places are pixels of the picture as it is stored, its top left corner at (0, 0).
 */
export interface MapTracing {
  /** null: no picture yet, or taken away. */
  picture: SheetPicture | null;
  look: PictureLook;
  axes: { mode: 'axes' | 'grid'; points: readonly AxisPoint[] };
  /** Where cells were read. A mark counts as long as cells with exactly these texts stand in the tables. */
  marks: readonly TracedMark[];
}

export interface SheetPicture {
  /** Key of the picture in the browser's store of pictures, which undo does not cover. */
  id: string;
  /** Name of the file that it came from. */
  name: string;
  /** Page of a document of several pages, from 1. */
  page?: number | undefined;
  width: number;
  height: number;
  /** Kept with the map: saved into its file. */
  kept: boolean;
}

/** For the eye only: places and values do not depend on it. */
export interface PictureLook {
  quarterTurns: 0 | 1 | 2 | 3;
  /** Fine turn, degrees clockwise. */
  turnDeg: number;
  /** 1: as it is. */
  brightness: number;
  /** 0: as it is, 1: not seen at all. */
  fade: number;
}

/** A place of known value. Empty texts: not placed yet, or not known. */
export interface AxisPoint {
  on: 'flow-axis' | 'ratio-axis' | 'grid';
  x: string;
  y: string;
  flow: string;
  pressureRatio: string;
}

export interface TracedMark {
  flow: string;
  pressureRatio: string;
  x: number;
  y: number;
}

/** Who read the map, from what, when. */
interface MapProvenance {
  readBy: string;
  readFrom: string;
  readOn: string;
}

/** How the sheet prints what other sheets print otherwise. */
export interface SheetHabits {
  /** Speed that stands for 100 % where speeds are typed in percent ('80 %'). */
  designSpeed: Typed;
  /** Outlet pressure that the pressure ratio is made with. */
  outletPressure: 'total' | 'static';
  /** Where the static outlet pressure was taken; empty text: not given. */
  outletDiameter: Typed;
}

/** Parts of a map that only a traced one has. */
export interface TracedParts {
  tracing?: MapTracing | undefined;
  provenance?: MapProvenance | undefined;
  habits?: SheetHabits | undefined;
  /** Efficiencies printed at single places of the sheet. */
  efficiencyReadings?: readonly DraftCell3[] | undefined;
  /** What was taken for granted when the sheet was completed, in plain words. */
  assumed?: readonly string[] | undefined;
}

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
