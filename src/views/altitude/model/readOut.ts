import type { Build } from '../../../build/index.ts';
import type {
  BindingLimit,
  Goal,
  HeldCell,
  LeftByOpenGate,
  MatchInput,
  OperatingPoint,
  OperatingPointSolved,
} from '../../../match/index.ts';
import {
  bindingLook,
  lowestHeldPressure,
  RESULTS,
  type ResultUnits,
  showResult,
  titleWithOwner,
} from '../../../match/index.ts';
import { nearestIndex } from '../../../numerics/index.ts';
import type { CandidateStudy } from '../../../store/index.ts';
import { formatNumber, NO_NUMBER, rpmText } from '../../../units/index.ts';
import {
  altitudeUnit,
  gateOpenShown,
  placeAir,
  type TunerPressure,
  tunerPressure,
} from '../../shared/altitudeStudies.ts';
import { goalPressurePa, isDriven, isTurbineLimited, nearestPlace, type Pointed } from './pointed.ts';

/** Boost below this is hardly any: limits that hold from there up hold everywhere. */
const LEAST_BOOST_PA = 3000;

export interface ReadOut {
  where: string;
  terms: readonly { title: string; value: string; detail: string }[];
}

/**
 * What is allowed and what the goal asks for at the place pointed at; the highest corner of the field before anybody has pointed.
 * @param input of the study; null: not known, and where less boost is left of surge is not said
 */
export function readOut(
  build: Build,
  study: CandidateStudy,
  pointed: Pointed,
  units: ResultUnits,
  input: MatchInput | null,
): ReadOut {
  const { field, held } = study;
  const speeds = field.engineSpeedsRpm;
  const column = nearestIndex(speeds, pointed.engineSpeedRpm ?? speeds.at(-1) ?? 0);
  const row = nearestPlace(field.places, pointed.altitudeM ?? field.places.at(-1)?.altitudeM ?? 0);
  const place = field.places[row];
  const ceiling = field.cells[row]?.[column];
  const cell = held.cells[row]?.[column];
  const rpm = speeds[column];
  if (place === undefined || ceiling === undefined || cell === undefined || rpm === undefined) {
    return { where: 'no altitude to read. Check the altitudes on the left.', terms: [] };
  }
  const pressure = tunerPressure(build);
  const ambientPa = place.ambient.pressurePa;
  const found = ceiling.status === 'ok' ? ceiling : null;
  const point = cell.point.status === 'ok' ? cell.point : null;
  const heldWords = () => {
    if (found === null || input === null) return '';
    const heldPa = lowestHeldPressure(input, field.limits, place, found);
    if (heldPa < ambientPa + LEAST_BOOST_PA) return '';
    return `; every limit holds from ${pressure.textUp(heldPa, ambientPa)} up to the ceiling`;
  };
  const gateOpen = gateOpenShown(study);
  const shaft = (value: number | undefined) => showResult(value, 'shaft-speed', units);
  return {
    where: `at ${rpmText(rpm)} and ${placeAir(place, altitudeUnit(build), units)}${heldWords()}`,
    terms: [
      {
        title: 'Ceiling',
        value: found === null ? 'none holds' : pressure.textDown(found.manifoldPressurePa, ambientPa),
        detail: limitName(ceiling.binding),
      },
      {
        title: 'Goal',
        value: goalText(held.goal, cell.point, pressure, ambientPa),
        detail: goalWords(cell),
      },
      ...(gateOpen === null ? [] : [lowestTerm(gateOpen[row]?.[column] ?? null, pressure, ambientPa)]),
      {
        title: `${titleWithOwner('Shaft', 'shaftSpeedRpm', units)} at ceiling`,
        value: shaft(found?.point.shaftSpeedRpm),
        detail: extendedNote(found?.point.extended),
      },
      {
        title: `${titleWithOwner('Shaft', 'shaftSpeedRpm', units)} at goal`,
        value: shaft(point?.shaftSpeedRpm),
        detail: extendedNote(point?.extended),
      },
      {
        title: 'Power at ceiling',
        value: found === null ? NO_NUMBER : showResult(found.point.wheelPowerW, 'power', units),
        detail: 'at the wheels',
      },
      { title: 'Power at goal', value: showResult(point?.wheelPowerW, 'power', units), detail: 'at the wheels' },
      ...(isDriven(study) ? turbineTerms(point, units) : []),
    ],
  };
}

/** What is left with the gate wide open: no lower boost can be held. */
function lowestTerm(pa: LeftByOpenGate, pressure: TunerPressure, ambientPa: number): ReadOut['terms'][number] {
  const title = 'Lowest, gate open';
  return typeof pa === 'number'
    ? { title, value: pressure.textUp(pa, ambientPa), detail: 'no less is held' }
    : { title, value: pa ?? 'not known', detail: '' };
}

/** Short enough for one line of the strip: it must not grow while somebody points. */
function limitName(binding: BindingLimit): string {
  const { short, name } = bindingLook(binding);
  return (short ?? name).toLowerCase();
}

/** '0.62 bar', or '0.41 of 0.62 bar' where the exhaust does not drive all of it. */
function goalText(goal: Goal, point: OperatingPoint, pressure: TunerPressure, ambientPa: number): string {
  const askedPa = goalPressurePa(goal, point);
  const asked = pressure.text(askedPa, ambientPa);
  if (point.status !== 'ok') return asked;
  if (point.turbine?.heldBy === 'gate')
    return `${pressure.text(point.manifoldPressurePa, ambientPa)}${askedPa === null ? '' : `, not ${formatNumber(pressure.value(askedPa, ambientPa), pressure.decimals)}`}`;
  if (!isTurbineLimited(point)) return asked;
  if (askedPa === null) return pressure.text(point.manifoldPressurePa, ambientPa);
  const reached = pressure.value(point.manifoldPressurePa, ambientPa);
  return `${formatNumber(reached, pressure.decimals)} of ${asked}`;
}

/** Which limit the goal crosses there; that it is not reached is said before any. */
function goalWords({ point, crossed }: HeldCell): string {
  if (point.status === 'no-compression') return 'needs no boost';
  const limit = crossed === null ? '' : limitName(crossed);
  if (point.status !== 'ok') return `no point: ${limit}`;
  if (crossed === 'turbine') return limit;
  return crossed === null ? 'every limit holds' : `over: ${limit}`;
}

/** What holding the goal asks of the turbine. */
function turbineTerms(point: OperatingPointSolved | null, units: ResultUnits): ReadOut['terms'] {
  const gate = point?.wastegateShare ?? null;
  return [
    {
      title: 'p3/p_m at goal',
      value: showResult(point?.backPressureRatio, 'pressure-ratio', units),
      detail: point === null ? '' : `p3 ${showResult(point.turbineInletPressurePa, 'absolute-pressure', units)} abs`,
    },
    {
      title: `${RESULTS.wastegateShare.short} at goal`,
      value: showResult(gate, 'share', units),
      detail: gate === null ? '' : gate > 0 ? openingWords(point?.turbine?.gateOpening ?? null) : 'the gate is shut',
    },
  ];
}

/** How far the gate is open for it, where its size is known. */
function openingWords(opening: number | null): string {
  if (opening === null) return 'past the turbine';
  return opening > 1 ? 'gate wide open' : `gate ${formatNumber(100 * opening, 0)}\u00a0% open`;
}

function extendedNote(extended: boolean | undefined): string {
  return extended ? 'map extended' : '';
}
