import { type CandidateTurbine, type CardPath, cardNames } from '../../../../build/index.ts';

/** What was found of the turbine of one candidate, sorted to where it is said. */
export interface TurbineNotes {
  /** The message of a field of the section, 'turbine.efficiency.value'; null: there is none. */
  of(field: CardPath): string | null;
  /** What is still to be measured for the estimate, by name. */
  missing: readonly string[];
  /** What else stands in the way. */
  problems: readonly string[];
  /** Remarks that do not. */
  remarks: readonly string[];
}

/** Measurements that stand in other sections of the card. */
const MEASURED: readonly CardPath[] = ['wheels.turbine.inducer', 'wheels.turbine.exducer', 'housing.turbineAreaRadius'];

/**
 * @param index of the candidate in its build
 * @param shown fields of the section that say their own messages
 */
export function turbineNotes(
  turbine: Pick<CandidateTurbine, 'problems' | 'notes'>,
  index: number,
  shown: readonly CardPath[],
): TurbineNotes {
  const start = `candidates[${index}].`;
  const own = (path: string) => (path.startsWith(start) ? path.slice(start.length) : path);
  const of = (field: string) =>
    turbine.problems
      .filter(({ path }) => own(path) === field)
      .map(({ message }) => message)
      .join(' ') || null;
  const elsewhere: readonly string[] = [...shown, ...MEASURED];
  return {
    of,
    missing: MEASURED.filter((field) => of(field) !== null).map((field) => cardNames[field]),
    problems: texts(turbine.problems.filter(({ path }) => !elsewhere.includes(own(path)))),
    remarks: texts(turbine.notes),
  };
}

/** Each message once. */
function texts(said: readonly { message: string }[]): string[] {
  return [...new Set(said.map(({ message }) => message))];
}
