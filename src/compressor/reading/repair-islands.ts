import type { AuditFinding, MapSheet } from '../types.ts';
import type { ProposedRepair } from './quality-types.ts';
import { isGone } from './repair-check.ts';

function withIsland(
  sheet: MapSheet,
  at: number,
  change: (island: NonNullable<MapSheet['islands']>[number]) => NonNullable<MapSheet['islands']>[number],
): MapSheet {
  return sheet.islands ? { ...sheet, islands: sheet.islands.map((i, k) => (k === at ? change(i) : i)) } : sheet;
}

/** An island marked the wrong way. */
export function repairOpenOrClosed(finding: AuditFinding): ProposedRepair | null {
  if (finding.place?.part !== 'island') return null;
  const at = finding.place.island;
  const closed = finding.code === 'island-probably-closed';
  return {
    description: closed ? 'Mark the island closed.' : 'Mark the island open: it runs off the map.',
    apply: (s) => withIsland(s, at, (island) => ({ ...island, closed })),
  };
}

/** The lower efficiency inside the higher: the two values changed over, where that settles it. */
export function repairIslandsSwapped(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (finding.place?.part !== 'island') return null;
  const at = finding.place.island;
  const own = sheet.islands?.[at];
  if (!own) return null;
  for (const [k, other] of (sheet.islands ?? []).entries()) {
    if (k === at || !(other.efficiency > own.efficiency)) continue;
    const apply = (s: MapSheet): MapSheet =>
      withIsland(
        withIsland(s, at, (i) => ({ ...i, efficiency: other.efficiency })),
        k,
        (i) => ({ ...i, efficiency: own.efficiency }),
      );
    const settled = apply(sheet);
    if (!isGone(finding, settled) || !isGone({ ...finding, place: { part: 'island', island: k } }, settled)) continue;
    return { description: `Swap the values of the two islands, ${own.efficiency} and ${other.efficiency}.`, apply };
  }
  return null;
}
