import { boundaryLine, islandContours, speedLine } from '../compressor/index.ts';
import type { CompressorSurface, IslandContour, MapPolyline, MapSheet, ReferenceState } from '../compressor/types.ts';
import { memory } from '../numerics/index.ts';

/** What is drawn of a fitted map, in data units (corrected kg/s at `reference`). */
export interface MapGeometry {
  reference: ReferenceState;
  speedLines: readonly { correctedSpeedRpm: number; entered: boolean; line: MapPolyline }[];
  surgeLine: readonly MapPolyline[];
  chokeEnd: readonly MapPolyline[];
  islands: readonly IslandContour[];
  extent: { maxFlowKgPerS: number; maxPressureRatio: number };
}

const known = memory<CompressorSurface, MapGeometry>();

/** Lines and islands of a surface; worked out once a surface. The sheet names the speeds that were entered. */
export function mapGeometry(surface: CompressorSurface, sheet: MapSheet): MapGeometry {
  return known(surface, [], () => geometryOf(surface, sheet));
}

function geometryOf(surface: CompressorSurface, sheet: MapSheet): MapGeometry {
  const speeds = [...new Set(sheet.speedLines.map((line) => line.speedRpm))].sort((a, b) => a - b);
  // The levels of the sheet are those that a reader can check against it; round levels only where it has none.
  const levels = [...new Set((sheet.islands ?? []).map((island) => island.efficiency))];
  return {
    reference: surface.reference,
    speedLines: [
      ...speeds.map((speed) => ({ speed, entered: true })),
      ...extendedSpeeds(surface, speeds).map((speed) => ({ speed, entered: false })),
    ].flatMap(({ speed, entered }) => {
      const line = speedLine(surface, speed);
      return line === null ? [] : [{ correctedSpeedRpm: speed, entered, line }];
    }),
    surgeLine: boundaryLine(surface, 'surge'),
    chokeEnd: boundaryLine(surface, 'choke'),
    islands: levels.length > 0 ? islandContours(surface, levels) : islandContours(surface),
    extent: surface.extent,
  };
}

/** One line below the lowest entered one and one at the end of the extension above: enough to show where the map is extended. */
function extendedSpeeds(surface: CompressorSurface, speeds: readonly number[]): number[] {
  const [first, second] = speeds;
  if (first === undefined || second === undefined) return [];
  const below = first - (second - first);
  return [below, surface.highestAnswerRpm].filter(
    (speed) => speed >= surface.lowestAnswerRpm && speed <= surface.highestAnswerRpm && !speeds.includes(speed),
  );
}

/** The line of one corrected speed, for the maker's limit on the day; none where the surface does not answer for it. */
export function speedLineAt(surface: CompressorSurface, correctedSpeedRpm: number): readonly MapPolyline[] {
  const line = speedLine(surface, correctedSpeedRpm);
  return line === null ? [] : [line];
}
