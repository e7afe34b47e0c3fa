import { type Build, type MapDraft, mapsOf } from '../../../build/index.ts';
import { memory } from '../../../numerics/index.ts';
import { formatNumber, parseNumber, parseQuantity } from '../../../units/index.ts';
import { flowUnitLabel, sheetWords } from './sheetWords.ts';

/** The small print of a map on the shelf. */
export interface ShelfFacts {
  /** 'Compressor map' or 'Turbine sheet'. */
  kind: string;
  /** '8 lines, 0.05 to 0.31 kg/s'. */
  summary: string;
  /** 'limit 142,000 rpm'; '' without one. */
  limit: string;
  invented: boolean;
  /** Names of the builds that use it. */
  usedIn: readonly string[];
}

const known = memory<MapDraft, { summary: string; limit: string }>();

export function shelfFacts(draft: MapDraft, builds: readonly Build[]): ShelfFacts {
  const facts = known(draft, [], () => ({ summary: summaryOf(draft), limit: limitOf(draft) }));
  const usedIn = builds
    .filter((b) => b.candidates.some((c) => mapsOf(c).some(({ id }) => id === draft.id)))
    .map((b) => b.name);
  return { ...facts, kind: sheetWords(draft).kind, invented: draft.invented === true, usedIn };
}

function summaryOf(draft: MapDraft): string {
  const flows: number[] = [];
  let lines = 0;
  for (const line of draft.speedLines) {
    let points = 0;
    for (const p of line.points) {
      const flow = parseNumber(p.flow);
      if (!flow.ok || flow.value <= 0) continue;
      flows.push(flow.value);
      points++;
    }
    if (points > 0) lines++;
  }
  if (flows.length === 0) return 'empty';
  const high = Math.max(...flows);
  const decimals = high < 0.1 ? 4 : high < 1 ? 2 : high < 20 ? 1 : 0;
  const range = `${formatNumber(Math.min(...flows), decimals)} to ${formatNumber(high, decimals)} ${flowUnitLabel(draft)}`;
  return `${lines} ${lines === 1 ? 'line' : 'lines'}, ${range}`;
}

function limitOf(draft: MapDraft): string {
  const { text, unit } = draft.limits.shaftSpeed;
  const parsed = parseQuantity(text, 'rotational-speed', unit);
  return parsed.ok && parsed.si > 0 ? `limit ${formatNumber(parsed.si, 0)} rpm` : '';
}
