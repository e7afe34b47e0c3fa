import type { OperatingPoint } from '../../../match/index.ts';
import type { MapReadout } from '../../../plot/index.ts';
import { formatNumber, type SheetFlowUnit } from '../../../units/index.ts';
import { READ_OUT_CELLS, type ReadMap, type ReadOutKey, readAnywhere, readOutTexts, readPoint } from './readOut.ts';

export interface ReadOutWords {
  /** 'At 6,400 rpm', 'At this place of the map'. */
  heading: string;
  cells: Readonly<Record<ReadOutKey, string>>;
  remark: string;
}

interface Sources {
  /** Where pointer or keyboard stand on the map; null: nowhere, the chosen engine speed counts. */
  at: MapReadout | null;
  read: ReadMap | null;
  points: readonly OperatingPoint[];
  chosenPoint: OperatingPoint | null;
  flowUnit: SheetFlowUnit;
}

/** Any reference does: the cells are empty then. */
const NO_REFERENCE = { temperatureK: 298.15, pressurePa: 100_000 };

/** What the read-out says: the place under pointer or keyboard, else the chosen engine speed, else how to get one. */
export function readOutWords({ at, read, points, chosenPoint, flowUnit }: Sources): ReadOutWords {
  const reference = read?.surface.reference ?? NO_REFERENCE;
  const near = at?.near ?? null;
  const point = near ? points.find(({ engineSpeedRpm }) => engineSpeedRpm === near.engineSpeedRpm) : chosenPoint;
  if (at !== null && near === null && read !== null) {
    const place = readAnywhere(read, at.at.correctedMassFlowKgPerS, at.at.pressureRatio);
    return {
      heading: 'At this place of the map',
      cells: readOutTexts(place, flowUnit, reference),
      remark: place.remark,
    };
  }
  if (point === undefined || point === null) {
    const heading = read === null ? 'Nothing to read yet' : 'Point at the map, or choose an engine speed';
    return { heading, cells: readOutTexts(null, flowUnit, reference), remark: '' };
  }
  const heading = `At ${formatNumber(point.engineSpeedRpm, 0)} rpm`;
  const place = readPoint(point, read?.surface.estimate !== undefined);
  if (place !== null) return { heading, cells: readOutTexts(place, flowUnit, reference), remark: place.remark };
  return {
    heading,
    cells: readOutTexts(null, flowUnit, reference),
    remark: point.status === 'ok' ? '' : point.message,
  };
}

/** Lines beside the point on the map. In full for the keyboard, where they are also spoken; else only what is looked for first. */
export function readOutDescription({ heading, cells, remark }: ReadOutWords, inFull: boolean): readonly string[] {
  const full = READ_OUT_CELLS.map(({ key, title }) => `${title} ${cells[key]}`);
  const lines = inFull ? full : [`${cells['shaft-speed']}`, `Efficiency ${cells.efficiency}`];
  return [heading.replace('At this place of the map', 'Here'), ...lines, ...(inFull && remark !== '' ? [remark] : [])];
}
