import { type ResultUnits, resultUnits } from '../../../match/index.ts';
import type { TableStudy } from '../../../store/index.ts';
import { type ControlSheet, type ControlShown, controlSheet } from '../../shared/controlTable.ts';
import { candidateLetter, NOT_THE_ENGINE, TABLE_CAUTIONS } from '../../shared/provenance.ts';
import type { SheetInput } from './sheetModel.ts';

/** One page of the table for the control unit. */
export interface ControlPage {
  key: string;
  title: string;
  /** What stands in place of the table; null: the table. */
  words: string | null;
  sheet: ControlSheet | null;
  /** Column numbers of each block; a wide table stands in two, one under the other. */
  blocks: readonly (readonly number[])[];
  cautions: readonly string[];
}

/** As many columns stand side by side at a size that is read at arm's length, and as many rows one under the other. */
const MOST_ACROSS = 16;
const MOST_DOWN = 36;

/** The pages of the table: what is to be keyed in, and where a table was pasted, that one against the ceilings. */
export function controlPages({ build, settings, table }: SheetInput): readonly ControlPage[] {
  if (table === undefined) return [];
  const empty = { sheet: null, blocks: [], cautions: [] };
  const title = `Control unit table: ${build.name}`;
  if (table.study === null) {
    const words = table.problem ?? 'The table is being computed. It is not on this sheet yet.';
    return [{ ...empty, key: 'control-0', title, words }];
  }
  const { study } = table;
  const shown: ControlShown[] = study.setup.options.entered === undefined ? ['target'] : ['target', 'entered'];
  return shown.flatMap((one) => pagesOf(study, one, title, resultUnits(settings)));
}

function pagesOf(study: TableStudy, shown: ControlShown, title: string, units: ResultUnits): ControlPage[] {
  const sheet = controlSheet(study, shown, units);
  const count = Math.ceil(sheet.columns.length / MOST_ACROSS);
  const most = Math.ceil(sheet.columns.length / count);
  const blocks = Array.from({ length: count }, (_, i) =>
    sheet.columns.map((_column, c) => c).slice(i * most, (i + 1) * most),
  );
  const together = sheet.rows.length * count <= MOST_DOWN ? [blocks] : blocks.map((block) => [block]);
  return together.map((part, i) => ({
    key: `control-${shown}-${i}`,
    title: `${title}, candidate ${candidateLetter(study.candidateIndex)}${i === 0 ? '' : ' (continued)'}`,
    words: null,
    sheet,
    blocks: part,
    cautions: [...TABLE_CAUTIONS, NOT_THE_ENGINE],
  }));
}
