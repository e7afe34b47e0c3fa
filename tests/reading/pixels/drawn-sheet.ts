import { fitSurface, islandContours } from '../../../src/compressor/index.ts';
import type { DataPlace, PicturePlace } from '../../../src/reading/index.ts';
import type { PixelPlace, Rgb } from '../../../src/reading/pixels/index.ts';
import { type ExactMachine, KILOGRAMS, lineSpeeds, readSheet } from '../../machines/read-sheet.ts';
import { BLACK, curve, LIGHT, Raster } from './raster.ts';

/** A sheet of an exact machine as a picture, and where everything on it truly is. */
export interface DrawnSheet {
  image: Raster;
  scale: { flow: number; pressureRatio: number };
  toPicture(data: DataPlace): PicturePlace;
  lines: readonly { speedRpm: number; data: readonly DataPlace[]; places: readonly PixelPlace[] }[];
  islands: readonly { efficiency: number; closed: boolean; places: readonly PixelPlace[] }[];
}

export interface SheetLook {
  /** From the upright frame (0..1 to the right, 0..1 downwards) to the picture. */
  frame: (a: number, b: number) => PicturePlace;
  width: number;
  height: number;
  lineWidth: number;
  lineColour?: Rgb;
  islandColour?: Rgb;
  gridColour?: Rgb;
}

/** Draws light grid, islands, speed lines and a surge line through their ends; flow from 0, pressure ratio from 1. */
export function drawSheet(machine: ExactMachine, look: SheetLook): DrawnSheet {
  const speeds = lineSpeeds(machine, { ...KILOGRAMS, lines: 8 });
  const top = machine.at(machine.topSpeedRpm, 1).correctedMassFlowKgPerS;
  const highest = Math.max(
    ...curve(50, (t) => ({ x: 0, y: machine.at(speeds.at(-1)!, t).pressureRatio })).map((p) => p.y),
  );
  const scale = { flow: Math.ceil(top * 21) / 20, pressureRatio: Math.ceil(highest * 2.1) / 2 };
  const toPicture = ({ flow, pressureRatio }: DataPlace) =>
    look.frame(flow / scale.flow, 1 - (pressureRatio - 1) / (scale.pressureRatio - 1));
  const image = new Raster(look.width, look.height);
  for (let i = 0; i <= 10; i++) {
    const grid = look.gridColour ?? LIGHT;
    image.stroke([look.frame(i / 10, 0), look.frame(i / 10, 1)], 1, grid);
    image.stroke([look.frame(0, i / 10), look.frame(1, i / 10)], 1, grid);
  }
  image.stroke([look.frame(0, 0), look.frame(0, 1), look.frame(1, 1)], 2, BLACK);
  const islands = islandPlaces(machine, toPicture);
  for (const { places } of islands) image.stroke(places, Math.max(1, look.lineWidth - 0.5), look.islandColour ?? BLACK);
  const lines = speeds.map((speedRpm) => {
    const data = curve(400, (t) => {
      const p = machine.at(speedRpm, t);
      return { x: p.correctedMassFlowKgPerS, y: p.pressureRatio };
    }).map(({ x, y }) => ({ flow: x, pressureRatio: y }));
    return { speedRpm, data, places: data.map(toPicture) };
  });
  for (const line of lines) image.stroke(line.places, look.lineWidth, look.lineColour ?? BLACK);
  image.stroke(
    lines.map((line) => line.places[0]!),
    look.lineWidth + 1,
    BLACK,
  );
  return { image, scale, toPicture, lines, islands };
}

/** Contours of each machine, the same whatever the picture of its sheet looks like. */
const contours = new WeakMap<ExactMachine, ReturnType<typeof islandContours>>();

/** Contours of a surface fitted to exact points: where they are drawn is their truth here. */
function islandPlaces(machine: ExactMachine, toPicture: (d: DataPlace) => PicturePlace) {
  const fine = { ...KILOGRAMS, lines: 12, pointsPerLine: 15, flowDecimals: 6, ratioDecimals: 5 };
  const islands = contours.get(machine) ?? islandContours(fitSurface(readSheet(machine, fine)), [0.66, 0.7, 0.74]);
  contours.set(machine, islands);
  return islands.flatMap(({ efficiency, rings }) =>
    rings
      .filter((ring) => ring.points.length > 20)
      .map(({ points, closed }) => {
        const places = points.map((p) =>
          toPicture({ flow: p.correctedMassFlowKgPerS, pressureRatio: p.pressureRatio }),
        );
        return { efficiency, closed, places: closed ? [...places, places[0]!] : places };
      }),
  );
}

/** 0..1 to the right and downwards into a frame with a margin; straight, turned or in perspective. */
export function straightFrame(width: number, height: number, turnDeg = 0): SheetLook['frame'] {
  const c = Math.cos((turnDeg * Math.PI) / 180);
  const s = Math.sin((turnDeg * Math.PI) / 180);
  return (a, b) => {
    const x = (a - 0.5) * width * 0.82;
    const y = (b - 0.5) * height * 0.82;
    return { x: width / 2 + c * x - s * y, y: height / 2 + s * x + c * y };
  };
}

export function slantedFrame(width: number, height: number): SheetLook['frame'] {
  return (a, b) => {
    const w = 1 + 0.22 * a + 0.12 * (1 - b);
    return {
      x: (width * (0.08 + 1.02 * a + 0.04 * (1 - b))) / w,
      y: (height * (0.1 + 0.84 * b + 0.08 * a + 0.05 * (1 - b))) / w,
    };
  };
}
