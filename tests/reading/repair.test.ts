import { describe, expect, it } from 'vitest';
import { auditSheet } from '../../src/compressor/index.ts';
import type { AuditFinding, FlowUnit, MapSheet } from '../../src/compressor/types.ts';
import { proposedRepair } from '../../src/reading/index.ts';
import { readSheet } from '../compressor/audit-sheets.ts';
import { MACHINES } from '../machines/analytic-compressor.ts';

const good = readSheet(MACHINES[1]!);

function withSpeeds(sheet: MapSheet, change: (rpm: number, i: number) => number): MapSheet {
  return { ...sheet, speedLines: sheet.speedLines.map((l, i) => ({ ...l, speedRpm: change(l.speedRpm, i) })) };
}

/** The repair of the first finding with this code, applied; and what the audit then says of that code. */
function repaired(sheet: MapSheet, code: string): { sheet: MapSheet; left: AuditFinding[] } {
  const finding = auditSheet(sheet).find((f) => f.code === code);
  if (!finding) throw new Error(`no ${code}: ${auditSheet(sheet).map((f) => f.code)}`);
  const repair = proposedRepair(finding, sheet);
  if (!repair) throw new Error(`no repair for ${finding.message}`);
  const before = JSON.stringify(sheet);
  const after = repair.apply(sheet);
  expect(JSON.stringify(sheet)).toBe(before);
  expect(repair.description.length).toBeGreaterThan(10);
  return { sheet: after, left: auditSheet(after).filter((f) => f.code === code) };
}

describe('a repair is offered and leaves nothing of its finding', () => {
  it('for efficiencies in percent', () => {
    const percent: MapSheet = {
      ...good,
      speedLines: good.speedLines.map((l) => ({
        ...l,
        points: l.points.map((p) => ({ ...p, efficiency: Number(((p.efficiency ?? 0) * 100).toFixed(3)) })),
      })),
    };
    const { sheet, left } = repaired(percent, 'efficiency-in-percent');
    expect(left).toEqual([]);
    expect(sheet).toEqual(good);
  });

  it('for one island in percent', () => {
    const islands = readSheet(MACHINES[0]!, { islands: true });
    const one = {
      ...islands,
      islands: islands.islands?.map((i, k) => (k === 0 ? { ...i, efficiency: i.efficiency * 100 } : i)),
    };
    const { sheet, left } = repaired(one, 'efficiency-in-percent');
    expect(left).toEqual([]);
    expect(sheet.islands?.[0]?.efficiency).toBeCloseTo(islands.islands?.[0]?.efficiency ?? 0, 10);
  });

  it('for two digits of a speed swapped, a digit mistyped and a zero too many', () => {
    const at = 4;
    const true4 = good.speedLines[at]!.speedRpm;
    const digits = String(true4);
    const swapped = Number(digits[1]! + digits[0]! + digits.slice(2));
    const mistyped = true4 + (digits[1] === '9' ? -30_000 : 30_000);
    for (const wrong of [swapped, mistyped, true4 * 10]) {
      const sheet = withSpeeds(good, (rpm, i) => (i === at ? wrong : rpm));
      const result = repaired(sheet, 'speed-doubtful');
      expect(result.left).toEqual([]);
      // Head alone puts a speed within a few per cent: a slip that comes nearer by chance may be proposed instead of the true one.
      expect(Math.abs(result.sheet.speedLines[at]!.speedRpm / true4 - 1)).toBeLessThan(0.03);
    }
    expect(
      repaired(
        withSpeeds(good, (rpm, i) => (i === at ? true4 * 10 : rpm)),
        'speed-doubtful',
      ).sheet,
    ).toEqual(good);
  });

  it('for the speeds of two neighbouring lines swapped', () => {
    const speeds = good.speedLines.map((l) => l.speedRpm);
    const few = { ...good, speedLines: good.speedLines.slice(0, 3) };
    const sheet = withSpeeds(few, (rpm, i) => (i === 1 ? speeds[2]! : i === 2 ? speeds[1]! : rpm));
    const result = repaired(sheet, 'speed-out-of-order');
    expect(result.left).toEqual([]);
    expect(result.sheet).toEqual(few);
  });

  it('for a point that stands twice', () => {
    const sheet: MapSheet = {
      ...good,
      speedLines: good.speedLines.map((l, i) =>
        i === 2 ? { ...l, points: l.points.toSpliced(4, 0, l.points[3]!) } : l,
      ),
    };
    expect(auditSheet(good).map((f) => f.code)).not.toContain('point-twice');
    const result = repaired(sheet, 'point-twice');
    expect(result.left).toEqual([]);
    expect(result.sheet).toEqual(good);
  });

  it('for a flow in another unit than the one chosen', () => {
    for (const [unit, wrong] of [
      ['kg/s', 'lb/min'],
      ['kg/s', 'cfm'],
      ['lb/min', 'kg/s'],
      ['m3/s', 'cfm'],
      ['cfm', 'm3/s'],
    ] as const satisfies readonly (readonly [FlowUnit, FlowUnit])[]) {
      const sheet = readSheet(MACHINES[0]!, { unit });
      const result = repaired({ ...sheet, flowUnit: wrong }, 'flow-unit-doubtful');
      expect(result.left).toEqual([]);
      // kg/s and m³/s differ by a sixth: size cannot tell them apart, and the repair says so.
      expect(result.sheet.flowUnit).toBe(unit === 'm3/s' ? 'kg/s' : unit);
    }
  });

  it('for speeds in thousands, where wheel or limit or size say so', () => {
    const sheet = withSpeeds(good, (rpm) => rpm / 1000);
    const result = repaired(sheet, 'speed-unit');
    expect(result.left).toEqual([]);
    expect(result.sheet).toEqual(good);
  });

  it('for one line typed in two parts', () => {
    const at = 3;
    const line = good.speedLines[at]!;
    const half = (from: number, to?: number) => ({ ...line, points: line.points.slice(from, to) });
    const odd = { ...line, points: line.points.filter((_, i) => i % 2 === 1 || i === 0) };
    const sheet = {
      ...good,
      speedLines: [...good.speedLines.slice(0, at), odd, ...good.speedLines.slice(at + 1), half(0, 5)],
    };
    const result = repaired(sheet, 'speed-twice');
    expect(result.left).toEqual([]);
    expect(result.sheet.speedLines).toHaveLength(good.speedLines.length);
  });

  it('for islands marked the wrong way or swapped, a swapped wheel, an unsorted table', () => {
    const islands = readSheet(MACHINES[0]!, { islands: true, points: 12, lines: 10 });
    const swappedWheel = { ...good, wheel: { inducerMm: good.wheel?.exducerMm, exducerMm: good.wheel?.inducerMm } };
    expect(repaired(swappedWheel, 'wheel-swapped').sheet.wheel).toEqual(good.wheel);
    const shuffled = {
      ...good,
      speedLines: good.speedLines.map((l) => ({
        ...l,
        points: [...l.points].sort((a, b) => ((a.flow * 7919) % 0.01) - ((b.flow * 7919) % 0.01)),
      })),
    };
    expect(repaired(shuffled, 'points-unordered').sheet.speedLines[2]!.points.length).toBe(
      good.speedLines[2]!.points.length,
    );
    const closed = (islands.islands ?? []).findIndex((i) => i.closed && i.points.length > 8);
    if (closed >= 0) {
      const island = islands.islands![closed]!;
      const open = {
        ...islands,
        islands: islands.islands?.map((i, k) =>
          k === closed ? { ...i, closed: false, points: [...island.points, island.points[0]!] } : i,
        ),
      };
      expect(repaired(open, 'island-probably-closed').sheet.islands?.[closed]?.closed).toBe(true);
    }
  });

  it('for a reference state typed in another unit', () => {
    const at = (temperatureK: number, pressurePa: number): MapSheet => ({
      ...good,
      reference: { temperatureK, pressurePa },
    });
    expect(repaired(at(25, 100_000), 'reference-temperature').sheet.reference.temperatureK).toBeCloseTo(298.15, 6);
    expect(repaired(at(85, 100_000), 'reference-temperature').sheet.reference.temperatureK).toBeCloseTo(302.594, 2);
    for (const [typed, pa] of [
      [100, 100_000],
      [1013.25, 101_325],
      [0.981, 98_100],
      [28.4, 96_173],
      [14.7, 101_353],
      [735.6, 98_073],
    ] as const) {
      expect(repaired(at(298.15, typed), 'reference-pressure').sheet.reference.pressurePa / pa).toBeCloseTo(1, 4);
    }
  });
});

describe('no repair is offered', () => {
  it('for what only the sheet can say', () => {
    const sheet: MapSheet = { ...good, limits: undefined, wheel: undefined };
    for (const finding of auditSheet(sheet)) expect(proposedRepair(finding, sheet)).toBeNull();
    const unknown: AuditFinding = { severity: 'warning', code: 'something-new', message: '' };
    expect(proposedRepair(unknown, sheet)).toBeNull();
  });

  it('for two points at one place with two efficiencies', () => {
    const twin = { ...good.speedLines[2]!.points[3]!, efficiency: 0.5 };
    const sheet = {
      ...good,
      speedLines: good.speedLines.map((l, i) => (i === 2 ? { ...l, points: l.points.toSpliced(4, 0, twin) } : l)),
    };
    const finding = auditSheet(sheet).find((f) => f.code === 'point-twice');
    expect(finding).toBeDefined();
    expect(finding && proposedRepair(finding, sheet)).toBeNull();
  });

  it('for a finding that is not of this sheet', () => {
    const finding: AuditFinding = {
      severity: 'note',
      code: 'point-twice',
      message: '',
      place: { part: 'speed-line', line: 99, point: 99 },
    };
    expect(proposedRepair(finding, good)).toBeNull();
  });
});
