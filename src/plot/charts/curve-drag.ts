import { type D3DragEvent, drag } from 'd3';
import type { DrawnPoint, PointGroups } from '../marks/curve.ts';

export type PointDrag = D3DragEvent<SVGGElement, DrawnPoint, unknown>;

/** What happens to a point that is taken hold of, and where it is pulled, in pixels of the drawing. */
interface DragHandlers {
  start(event: PointDrag, point: DrawnPoint): void;
  drag(event: PointDrag): void;
  end(): void;
}

/** Makes the points of a curve draggable by d3-drag: by mouse, finger and pen. */
export function createCurveDrag(svg: SVGSVGElement, handlers: DragHandlers): (points: PointGroups) => void {
  const dragging = drag<SVGGElement, DrawnPoint>()
    .container(() => svg)
    .on('start', handlers.start)
    .on('drag', handlers.drag)
    .on('end', handlers.end);
  return (points) => void points.call(dragging);
}
