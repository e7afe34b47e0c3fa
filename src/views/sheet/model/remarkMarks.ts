import type { PointRow } from '../../shared/pointTable.ts';

/** Marks that stand with an engine speed, each with its words beneath the table: a column of words would cost the numbers their room. */
export interface RemarkMarks {
  /** Mark of a row by its remark. */
  markOf: ReadonlyMap<string, string>;
  /** 'a: below the lowest line; b: left of the surge line' */
  words: string;
}

export function remarkMarks(rows: readonly PointRow[]): RemarkMarks {
  const remarks = [...new Set(rows.flatMap(({ cells, remark }) => (cells === null || remark === '' ? [] : [remark])))];
  const markOf = new Map(remarks.map((remark, i) => [remark, String.fromCharCode(97 + i)]));
  return { markOf, words: remarks.map((remark) => `${markOf.get(remark)}: ${remark}`).join('; ') };
}
