import type { SheetPlace } from '../compressor/types.ts';

/** A place in the tables of a map, written as the end of a path: '.speedLines[1].points[2]'; '' for the map as a whole. */
export function pathOfPlace(place: SheetPlace | undefined): string {
  if (place === undefined) return '';
  const point = 'point' in place && place.point !== undefined ? place.point : null;
  switch (place.part) {
    case 'speed-line':
      return `.speedLines[${place.line}]${point === null ? '' : `.points[${point}]`}`;
    case 'island':
      return `.islands[${place.island}]${point === null ? '' : `.points[${point}]`}`;
    case 'surge-line':
      return `.surgeLine${point === null ? '' : `[${point}]`}`;
    default:
      return `.${place.part}`;
  }
}
