import { isTurbineSheet, type MapDraft } from '../../../../build/index.ts';
import type { PicturePlace } from '../../../../compressor/reading/index.ts';
import { readAxes } from './axes.ts';
import { type Target, targetRows } from './targets.ts';
import { addPoint, placedRows } from './tracePoints.ts';

/** Points found along a stroke, not taken yet. */
export interface Proposal {
  target: Target;
  places: readonly PicturePlace[];
}

/** Proposed points nearer than this to a point that stands already say nothing new, picture pixels. */
const SAME_PX = 4;

/**
 * Takes the proposed points into the tables: in their order along the stroke where the line was empty (a speed line from surge to
 * choke, as tables have it), else each where it belongs between those that stand already, which are not moved.
 */
export function acceptProposal(draft: MapDraft, { target, places }: Proposal): MapDraft {
  const standing = placedRows(draft, target);
  if (standing.length > 0 || targetRows(draft, target).some((row) => row.flow.trim() !== '')) {
    const fresh = places.filter((p) =>
      standing.every(({ place }) => Math.hypot(place.x - p.x, place.y - p.y) > SAME_PX),
    );
    return fresh.reduce((changed, place) => addPoint(changed, target, place).draft, draft);
  }
  return along(draft, target, places).reduce(
    (changed, place, i) =>
      addPoint(changed, target, place, i === 0 ? undefined : targetRows(changed, target).length - 1).draft,
    draft,
  );
}

function along(draft: MapDraft, target: Target, places: readonly PicturePlace[]): readonly PicturePlace[] {
  const { calibration } = readAxes(draft);
  const [first, last] = [places[0], places.at(-1)];
  if (calibration === null || first === undefined || last === undefined || target.kind === 'island') return places;
  const from = calibration.toData(first);
  const to = calibration.toData(last);
  if (from === null || to === null) return places;
  // From surge to choke the flow rises; on a turbine sheet, as on the surge line, lines begin at the lowest ratio.
  const isByFlow = target.kind === 'speed-line' && !isTurbineSheet(draft);
  const runsBack = isByFlow ? to.flow < from.flow : to.pressureRatio < from.pressureRatio;
  return runsBack ? places.toReversed() : places;
}
