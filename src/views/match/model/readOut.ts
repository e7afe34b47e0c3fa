import type { CompressorSurface } from '../../../compressor/index.ts';
import {
  type OperatingPoint,
  PLACES,
  type ReadablePoint,
  type ResultUnits,
  shortTitle,
  showPoint,
} from '../../../match/index.ts';
import type { MapReadout } from '../../../plot/index.ts';
import { formatNumber, type SheetFlowUnit } from '../../../units/index.ts';
import { placeRemark } from '../../shared/mapDrawing.ts';

/** What is read at a place of the map, or at an operating point; with words on where it lies and what is extended, '' for nothing. */
type ReadPlace = ReadablePoint & { remark: string };

/** The map with what the day and the candidate add to it. */
export interface ReadMap {
  surface: CompressorSurface;
  /** N / Nc; null while the air inputs cannot be read. */
  speedFactor: number | null;
  limitRpm: number | null;
}

/** Reads any place of the map. Margins by the definitions of the help text; nothing is answered outside of what the surface answers. */
function readAnywhere(map: ReadMap, correctedMassFlowKgPerS: number, pressureRatio: number): ReadPlace {
  const { surface, speedFactor, limitRpm } = map;
  const at = surface.at(correctedMassFlowKgPerS, pressureRatio);
  const speed = at.correctedSpeedRpm;
  const surge = speed === null ? null : surface.surgeAt(speed);
  const choke = speed === null ? null : surface.chokeAt(speed);
  const shaftSpeedRpm = speed === null || speedFactor === null ? null : speed * speedFactor;
  return {
    correctedMassFlowKgPerS,
    pressureRatio,
    ...(at.efficiency !== null && { efficiency: at.efficiency }),
    ...(speed !== null && { correctedSpeedRpm: speed }),
    ...(shaftSpeedRpm !== null && { shaftSpeedRpm }),
    speedMargin: shaftSpeedRpm === null || limitRpm === null ? null : 1 - shaftSpeedRpm / limitRpm,
    surgeMargin:
      surge && (surge.pressureRatio / pressureRatio) * (correctedMassFlowKgPerS / surge.correctedMassFlowKgPerS) - 1,
    chokeMargin: choke && 1 - correctedMassFlowKgPerS / choke.correctedMassFlowKgPerS,
    remark: placeRemark(at),
  };
}

/** The same of an operating point, as it was solved; null where it has none. */
export function readPoint(point: OperatingPoint | undefined, estimated = false): ReadPlace | null {
  if (point === undefined || point.status !== 'ok') return null;
  return { ...point, remark: placeRemark({ ...point, estimated }) };
}

/** As many of the first cells say where a point lies; what the others say of an operating point stands with its candidate. */
export const PLACE_CELLS = 4;

/** Cells of the read-out: always the same ones in the same order, so that nothing jumps while the pointer moves. */
export function readOutCells(units: Pick<ResultUnits, 'several'>): readonly { key: ReadOutKey; title: string }[] {
  return PLACES.mapReadOut.map((key) => ({ key, title: shortTitle(key, units) }));
}

export type ReadOutKey = (typeof PLACES.mapReadOut)[number];

/** The cells' texts with their units; '–' where something is not known. */
function readOutTexts(
  place: ReadPlace | null,
  flowUnit: SheetFlowUnit,
  reference: { temperatureK: number; pressurePa: number },
  units: ResultUnits,
): Readonly<Record<ReadOutKey, string>> {
  const mapFlow = { unit: flowUnit, reference };
  const entries = PLACES.mapReadOut.map((key) => [key, showPoint(key, place, units, { mapFlow })]);
  return Object.fromEntries(entries) as Record<ReadOutKey, string>;
}

export interface ReadOutWords {
  /** 'At 6400 rpm', 'At this place of the map'; of two candidates 'A at 6400 rpm'. */
  heading: string;
  /** A place of the map that no engine speed stands at. */
  isPlace?: true;
  cells: Readonly<Record<ReadOutKey, string>>;
  remark: string;
}

interface Sources {
  /** Whose numbers are read; '' where there is one candidate only. */
  letter: string;
  /** Where pointer or keyboard stand on the map; null: nowhere, the chosen engine speed counts. */
  at: MapReadout | null;
  read: ReadMap | null;
  points: readonly OperatingPoint[];
  chosenPoint: OperatingPoint | null;
  flowUnit: SheetFlowUnit;
  units: ResultUnits;
}

/** Any reference does: the cells are empty then. */
const NO_REFERENCE = { temperatureK: 298.15, pressurePa: 100_000 };

/** What the read-out says: the place under pointer or keyboard, else the chosen engine speed, else how to get one. */
export function readOutWords({ letter, at, read, points, chosenPoint, flowUnit, units }: Sources): ReadOutWords {
  const reference = read?.surface.reference ?? NO_REFERENCE;
  const near = at?.near ?? null;
  const here = letter === '' ? 'At' : `${letter} at`;
  const point = near ? points.find(({ engineSpeedRpm }) => engineSpeedRpm === near.engineSpeedRpm) : chosenPoint;
  if (at !== null && near === null && read !== null) {
    const place = readAnywhere(read, at.at.correctedMassFlowKgPerS, at.at.pressureRatio);
    return {
      heading: `${here} this place of the map`,
      isPlace: true,
      cells: readOutTexts(place, flowUnit, reference, units),
      remark: place.remark,
    };
  }
  if (point === undefined || point === null) {
    const heading = read === null ? 'Nothing to read yet' : 'Point at the map, or choose an engine speed';
    return { heading, cells: readOutTexts(null, flowUnit, reference, units), remark: '' };
  }
  const heading = `${here} ${formatNumber(point.engineSpeedRpm, 0)} rpm`;
  const place = readPoint(point, read?.surface.estimate !== undefined);
  if (place !== null) return { heading, cells: readOutTexts(place, flowUnit, reference, units), remark: place.remark };
  return {
    heading,
    cells: readOutTexts(null, flowUnit, reference, units),
    remark: point.status === 'ok' ? '' : point.message,
  };
}

/** The same as a sentence, for those who hear instead of see. */
export function spokenReadOut(
  { heading, cells, remark }: ReadOutWords,
  units: Pick<ResultUnits, 'several'>,
): readonly string[] {
  return [
    heading,
    ...readOutCells(units).map(({ key, title }) => `${title} ${cells[key]}`),
    ...(remark === '' ? [] : [remark]),
  ];
}
