import type { Problem } from '../../../../build/index.ts';

/** What the reading of a build said of the turbine of one candidate: by the field it belongs to, and the rest for the section as a whole. */
export interface TurbineNotes {
  /** The messages of a field of the card in one text; null: there is none. */
  of(field: string): string | null;
  rest: readonly string[];
}

/**
 * @param notes paths count from the build
 * @param index of the candidate
 * @param fields of the card that are shown, 'turbine.efficiency.value': what belongs to no other is left to `rest`
 */
export function turbineNotes(notes: readonly Problem[], index: number, fields: readonly string[]): TurbineNotes {
  const start = `candidates[${index}].`;
  const own = notes
    .filter(({ path }) => path.startsWith(`${start}turbine`))
    .map(({ path, message }) => ({ field: path.slice(start.length), message }));
  return {
    of(field) {
      const said = own.filter((note) => note.field === field).map(({ message }) => message);
      return said.length === 0 ? null : said.join(' ');
    },
    rest: [...new Set(own.filter(({ field }) => !fields.includes(field)).map(({ message }) => message))],
  };
}
