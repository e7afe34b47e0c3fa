import { type MapDraft, sheetToDraft } from '../../../../build/index.ts';
import type { MapSheet } from '../../../../compressor/index.ts';
import { parseNumber, plainNumber } from '../../../../units/index.ts';

/**
 * The numbers of a repaired sheet back into the tables: a number that stands there already keeps its text, so that marks on the picture
 * still know their cells. Only parts that the repair changed are written.
 * @param before the sheet that the tables were read as
 */
export function applySheet(draft: MapDraft, before: MapSheet, after: MapSheet): MapDraft {
  const made = sheetToDraft(after, draft.id);
  const texts = textsOf(draft);
  const number = (text: string) => texts.plain.get(Number(text)) ?? plainNumber(Number(text), 6);
  const share = (text: string) => {
    if (text === '') return '';
    const known = texts.share.get(shareKey(Number(text)));
    return known ?? (draft.efficiencyUnit === '%' ? plainNumber(Number(text) * 100, 8) : text);
  };
  const pair = <T extends { flow: string; pressureRatio: string }>(row: T): T => ({
    ...row,
    flow: number(row.flow),
    pressureRatio: number(row.pressureRatio),
  });
  const changed: Partial<MapDraft> = {
    ...(differs(before.reference, after.reference) && { reference: made.reference }),
    ...(before.flowUnit !== after.flowUnit && { flowUnit: made.flowUnit }),
    ...(differs(before.limits, after.limits) && { limits: made.limits }),
    ...(differs(before.wheel, after.wheel) && { wheel: made.wheel }),
    ...(differs(before.speedLines, after.speedLines) && {
      speedLines: made.speedLines.map((line) => ({
        speed: texts.speed.get(Number(line.speed)) ?? line.speed,
        points: line.points.map((row) => ({ ...pair(row), efficiency: share(row.efficiency) })),
      })),
    }),
    ...(differs(before.surgeLine, after.surgeLine) && { surgeLine: made.surgeLine.map(pair) }),
    ...(differs(before.islands, after.islands) && {
      islands: made.islands.map((island) => ({
        ...island,
        efficiency: share(island.efficiency),
        points: island.points.map(pair),
      })),
    }),
  };
  return { ...draft, ...changed };
}

function differs(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) !== JSON.stringify(b);
}

/** Texts of the tables by what they are read as. */
function textsOf(draft: MapDraft) {
  const plain = new Map<number, string>();
  const share = new Map<number, string>();
  const speed = new Map<number, string>();
  const note = (into: Map<number, string>, text: string, scale: number, key = (n: number) => n) => {
    const parsed = parseNumber(text);
    if (parsed.ok && !into.has(key(parsed.value / scale))) into.set(key(parsed.value / scale), text);
  };
  const scale = draft.efficiencyUnit === '%' ? 100 : 1;
  const rows = [
    ...draft.speedLines.flatMap((l) => l.points),
    ...draft.surgeLine,
    ...draft.islands.flatMap((i) => i.points),
  ];
  for (const row of rows) {
    note(plain, row.flow, 1);
    note(plain, row.pressureRatio, 1);
    if ('efficiency' in row) note(share, String(row.efficiency), scale, shareKey);
  }
  for (const island of draft.islands) note(share, island.efficiency, scale, shareKey);
  for (const line of draft.speedLines) {
    const parsed = parseNumber(line.speed, 'integer-like');
    if (parsed.ok && !speed.has(parsed.value)) speed.set(parsed.value, line.speed);
  }
  return { plain, share, speed };
}

/** Percent and share meet here however they were rounded on the way. */
function shareKey(share: number): number {
  return Math.round(share * 1e9);
}
