import {
  type AuditFinding,
  auditContext,
  auditSheet,
  doubtfulSpeeds,
  fittingFlowUnits,
  groupedNumber,
  headOf,
  type MapSheet,
  type SheetUnits,
  settledContext,
} from '../compressor/index.ts';
import { formatPrinted, fromSi, sheetFlowUnits, toSi } from '../units/index.ts';

/** A repair that is offered for a finding. Applying it is pure: a new sheet. */
export interface ProposedRepair {
  /** Plain words, imperative: 'Divide the efficiencies by 100'. */
  description: string;
  apply(sheet: MapSheet): MapSheet;
}

type Repairer = (finding: AuditFinding, sheet: MapSheet, units: ReferenceUnits) => ProposedRepair | null;

/** Units in which a sheet's reference state was typed, and in which is spoken of it. */
type ReferenceUnits = Pick<SheetUnits, 'temperature' | 'pressure'>;
/** A sheet that came without fields: as a map file holds it. */
const FILE_UNITS: ReferenceUnits = { temperature: 'K', pressure: 'Pa' };

const REPAIRERS: Readonly<Record<string, Repairer>> = {
  'efficiency-in-percent': percent,
  'flow-unit-doubtful': flowUnit,
  'point-twice': pointTwice,
  'points-unordered': pointOrder,
  'surge-line-not-rising': surgeOrder,
  'speed-doubtful': speedSlip,
  'speed-out-of-order': speedOrder,
  'speed-twice': speedTwice,
  'speed-unit': speedUnit,
  'island-probably-open': openOrClosed,
  'island-probably-closed': openOrClosed,
  'islands-swapped': islandsSwapped,
  'reference-temperature': referenceTemperature,
  'reference-pressure': referencePressure,
  'wheel-swapped': wheelSwapped,
};

/**
 * A repair for a finding of the audit, where one is clear. It is tried before it is offered: with it the audit no longer says the same.
 * @param finding of auditSheet for this very sheet: its place counts the sheet's lines and points.
 * @param units of the fields of the reference state: a number typed in the wrong one was typed in these.
 * @returns null where only the sheet itself can say what is right.
 */
export function proposedRepair(
  finding: AuditFinding,
  sheet: MapSheet,
  units: ReferenceUnits = FILE_UNITS,
): ProposedRepair | null {
  const repair = REPAIRERS[finding.code]?.(finding, sheet, units) ?? null;
  return repair && isGone(finding, repair.apply(sheet)) ? repair : null;
}

/** Whether the audit no longer says this about this place of the sheet. */
function isGone(finding: AuditFinding, sheet: MapSheet): boolean {
  const place = JSON.stringify(finding.place ?? null);
  return !auditSheet(sheet).some((f) => f.code === finding.code && JSON.stringify(f.place ?? null) === place);
}

/** Whether the audit says nothing of this kind about the sheet any more. */
function isKindGone(finding: AuditFinding, sheet: MapSheet): boolean {
  return !auditSheet(sheet).some((f) => f.code === finding.code);
}

const tidy = (value: number): number => Number(value.toPrecision(12));
const isPercent = (value: number | undefined): value is number => value !== undefined && value > 1.5 && value <= 100;

/** 74 to 0.74, at points and islands alike; what is a fraction already stays. */
function percent(_: AuditFinding, sheet: MapSheet): ProposedRepair {
  const divided = <T extends { efficiency?: number | undefined }>(part: T): T =>
    isPercent(part.efficiency) ? { ...part, efficiency: tidy(part.efficiency / 100) } : part;
  const all = [...sheet.speedLines.flatMap((line) => line.points), ...(sheet.islands ?? [])];
  const count = all.filter((part) => isPercent(part.efficiency)).length;
  return {
    description: `Divide ${count === 1 ? 'the efficiency' : `the ${count} efficiencies`} by 100: ${count === 1 ? 'it is' : 'they are'} in percent.`,
    apply: (s) => ({
      ...s,
      speedLines: s.speedLines.map((line) => ({ ...line, points: line.points.map(divided) })),
      ...(s.islands ? { islands: s.islands.map(divided) } : {}),
    }),
  };
}

/** The one unit with which the flow goes with the speeds and pressure ratios; kg/s and m³/s cannot be told apart by size. */
function flowUnit(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const fitting = fittingFlowUnits(settledContext(sheet)).filter((u) => isKindGone(finding, { ...sheet, flowUnit: u }));
  const [unit, other] = fitting;
  const isMetric = fitting.length === 2 && unit === 'kg/s' && other === 'm3/s';
  if (unit === undefined || (fitting.length > 1 && !isMetric)) return null;
  const also = isMetric ? ' (m³/s would fit as well: look at the sheet)' : '';
  return {
    description: `Set the flow unit to ${sheetFlowUnits[unit].label}${also}; the numbers stay as they are.`,
    apply: (s) => ({ ...s, flowUnit: unit }),
  };
}

/** The second of two like points is deleted; an efficiency that only it has goes to the first. */
function pointTwice({ place }: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (place?.part !== 'speed-line' || place.point === undefined) return null;
  const { line: at, point } = place;
  const typed = sheet.speedLines[at]?.points ?? [];
  const second = typed[point];
  const first = typed.findIndex((p) => p.flow === second?.flow && p.pressureRatio === second.pressureRatio);
  const kept = typed[first];
  if (second === undefined || kept === undefined || first === point) return null;
  // Two efficiencies at one place contradict each other: which one is right only the sheet can say.
  if (kept.efficiency !== undefined && second.efficiency !== undefined && kept.efficiency !== second.efficiency)
    return null;
  return {
    description: 'Delete the second of the two points.',
    apply: (s) => ({
      ...s,
      speedLines: s.speedLines.map((line, i) => {
        if (i !== at) return line;
        const points = line.points.map((p, k) =>
          k === first && p.efficiency === undefined && second.efficiency !== undefined
            ? { ...p, efficiency: second.efficiency }
            : p,
        );
        return { ...line, points: points.toSpliced(point, 1) };
      }),
    }),
  };
}

/** Points of every line put in order from surge to choke. */
function pointOrder(): ProposedRepair {
  return {
    description: 'Sort the points of every line from surge to choke.',
    apply: (s) => {
      const { lines } = auditContext(s);
      return {
        ...s,
        speedLines: s.speedLines.map((line, i) => {
          const order = lines[i]!.ordered.map((p) => p.index);
          const rest = line.points.filter((_, k) => !order.includes(k));
          return { ...line, points: [...order.map((k) => line.points[k]!), ...rest] };
        }),
      };
    },
  };
}

/** The surge line's points put in rising pressure ratio, where that is all that is wrong. */
function surgeOrder(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const apply = (s: MapSheet): MapSheet =>
    s.surgeLine ? { ...s, surgeLine: [...s.surgeLine].sort((a, b) => a.pressureRatio - b.pressureRatio) } : s;
  return isKindGone(finding, apply(sheet))
    ? { description: 'Sort the points of the surge line by rising pressure ratio.', apply }
    : null;
}

/** A reference temperature typed in another unit than its field's. */
function referenceTemperature(finding: AuditFinding, sheet: MapSheet, units: ReferenceUnits): ProposedRepair | null {
  const typed = fromSi(sheet.reference.temperatureK, 'temperature', units.temperature);
  for (const unit of ['degC', 'degF', 'K'].filter((key) => key !== units.temperature)) {
    const temperatureK = tidy(toSi(typed, 'temperature', unit));
    const apply = (s: MapSheet): MapSheet => ({ ...s, reference: { ...s.reference, temperatureK } });
    if (!isKindGone(finding, apply(sheet))) continue;
    const [read, becomes] = [unit, units.temperature].map((key) => formatPrinted(temperatureK, 'temperature', key));
    return { description: `Read the reference temperature as ${read}: ${becomes}.`, apply };
  }
  return null;
}

/** Units that a reference pressure is printed in. */
const PRESSURES = ['kPa', 'mbar', 'bar', 'inHg', 'psi', 'mmHg', 'Pa'] as const;

/** A reference pressure typed in another unit than its field's, where only one unit makes it a barometer reading. */
function referencePressure(_: AuditFinding, sheet: MapSheet, units: ReferenceUnits): ProposedRepair | null {
  const typed = fromSi(sheet.reference.pressurePa, 'pressure-absolute', units.pressure);
  const fitting = PRESSURES.map((unit) => [unit, tidy(toSi(typed, 'pressure-absolute', unit))] as const).filter(
    ([unit, pressurePa]) => unit !== units.pressure && pressurePa > 93_000 && pressurePa < 105_000,
  );
  const [only, ...others] = fitting;
  if (only === undefined || others.length > 0) return null;
  const [unit, pressurePa] = only;
  const [read, becomes] = [unit, units.pressure].map((key) => formatPrinted(pressurePa, 'pressure-absolute', key));
  return {
    description: `Read the reference pressure as ${read}: ${becomes}.`,
    apply: (s) => ({ ...s, reference: { ...s.reference, pressurePa } }),
  };
}

function wheelSwapped(_: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const { inducerMm, exducerMm } = sheet.wheel ?? {};
  if (inducerMm === undefined || exducerMm === undefined || inducerMm === exducerMm) return null;
  return {
    description: 'Swap inducer and exducer.',
    apply: (s) => ({ ...s, wheel: { inducerMm: s.wheel?.exducerMm, exducerMm: s.wheel?.inducerMm } }),
  };
}

function withIsland(sheet: MapSheet, at: number, changed: Partial<NonNullable<MapSheet['islands']>[number]>): MapSheet {
  return sheet.islands
    ? { ...sheet, islands: sheet.islands.map((island, i) => (i === at ? { ...island, ...changed } : island)) }
    : sheet;
}

/** An island marked the wrong way. */
function openOrClosed({ place, code }: AuditFinding): ProposedRepair | null {
  if (place?.part !== 'island') return null;
  const closed = code === 'island-probably-closed';
  return {
    description: closed ? 'Mark the island closed.' : 'Mark the island open: it runs off the map.',
    apply: (s) => withIsland(s, place.island, { closed }),
  };
}

/** The lower efficiency inside the higher: the two values changed over, where that settles it. */
function islandsSwapped(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (finding.place?.part !== 'island') return null;
  const at = finding.place.island;
  const own = sheet.islands?.[at];
  if (!own) return null;
  for (const [k, other] of (sheet.islands ?? []).entries()) {
    if (k === at || !(other.efficiency > own.efficiency)) continue;
    const apply = (s: MapSheet): MapSheet =>
      withIsland(withIsland(s, at, { efficiency: other.efficiency }), k, { efficiency: own.efficiency });
    const settled = apply(sheet);
    if (!isGone(finding, settled) || !isGone({ ...finding, place: { part: 'island', island: k } }, settled)) continue;
    return { description: `Swap the values of the two islands, ${own.efficiency} and ${other.efficiency}.`, apply };
  }
  return null;
}

/** How near the speed must come to what the other lines say, as a share. */
const NEAR = 0.03;
/** How far the other lines usually misplace a speed, as a share; and what a rarer slip weighs against that. */
const LIKELY = 0.012;
const RANK_WEIGHT = 0.5;
/** Heads that put two lines at one speed within this are one line. */
const SAME_LINE = 0.015;

function withSpeed(sheet: MapSheet, line: number, speedRpm: number): MapSheet {
  return { ...sheet, speedLines: sheet.speedLines.map((l, i) => (i === line ? { ...l, speedRpm } : l)) };
}

const linesOf = (sheet: MapSheet) => settledContext(sheet).rising;

/** A digit typed wrong, two digits swapped, a digit too many or too few, that brings the speed to where the other lines put it. */
function speedSlip(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (finding.place?.part !== 'speed-line') return null;
  const at = finding.place.line;
  const expected = doubtfulSpeeds(linesOf(sheet)).find((d) => d.line.index === at)?.expectedRpm;
  return expected === undefined ? null : slip(finding, sheet, at, expected);
}

function slip(finding: AuditFinding, sheet: MapSheet, at: number, expected: number): ProposedRepair | null {
  const speedRpm = sheet.speedLines[at]!.speedRpm;
  const step = commonStep(sheet.speedLines.filter((_, i) => i !== at).map((line) => line.speedRpm));
  const unlikely = (c: { speed: number; rank: number }) =>
    Math.abs(Math.log(c.speed / expected)) / LIKELY + RANK_WEIGHT * c.rank;
  const best = slips(speedRpm)
    .filter((c) => c.speed % step === 0 && Math.abs(c.speed / expected - 1) < NEAR)
    .sort((a, b) => unlikely(a) - unlikely(b))
    .find(({ speed }) => isGone(finding, withSpeed(sheet, at, speed)));
  return best === undefined
    ? null
    : {
        description: `Change the speed ${groupedNumber(speedRpm)} rpm to ${groupedNumber(best.speed)} rpm: one slip of a digit away, and where the other lines put it.`,
        apply: (s) => withSpeed(s, at, best.speed),
      };
}

/** The coarsest round step of which all speeds are multiples: a sheet's labels are all rounded alike. */
function commonStep(speeds: readonly number[]): number {
  return [10_000, 5000, 2000, 1000, 500, 200, 100, 50, 10].find((step) => speeds.every((s) => s % step === 0)) ?? 1;
}

/** What may have been meant: rank 0 for two digits swapped or a zero too many or too few, 1 for a digit mistyped. */
function slips(speed: number): { speed: number; rank: number }[] {
  if (!Number.isInteger(speed) || speed <= 0) return [];
  const digits = [...String(speed)];
  const numberOf = (list: readonly string[]) => Number(list.join(''));
  const found = [
    { speed: speed * 10, rank: 0 },
    { speed: Math.round(speed / 10), rank: 0 },
  ];
  digits.forEach((digit, i) => {
    const next = digits[i + 1];
    if (next !== undefined && next !== digit)
      found.push({ speed: numberOf(digits.with(i, next).with(i + 1, digit)), rank: 0 });
    found.push({ speed: numberOf(digits.toSpliced(i, 1)), rank: 1 });
    for (let d = 0; d <= 9; d++) {
      if (String(d) !== digit) found.push({ speed: numberOf(digits.with(i, String(d))), rank: 1 });
      found.push({ speed: numberOf(digits.toSpliced(i, 0, String(d))), rank: 1 });
    }
  });
  return found.filter((f) => f.speed > 0 && f.speed !== speed);
}

/** Two lines that lie the wrong way round: their speeds changed over. */
function speedOrder(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (finding.place?.part !== 'speed-line') return null;
  const at = finding.place.line;
  const rising = linesOf(sheet);
  const low = rising[rising.findIndex((line) => line.index === at) - 1];
  const high = sheet.speedLines[at];
  if (!low || !high) return null;
  const apply = (s: MapSheet) => withSpeed(withSpeed(s, at, low.speedRpm), low.index, high.speedRpm);
  // No repair where it makes other speeds doubtful.
  if (doubtfulSpeeds(linesOf(apply(sheet))).length > doubtfulSpeeds(rising).length) return null;
  return {
    description: `Swap the speeds of the two lines, ${groupedNumber(low.speedRpm)} and ${groupedNumber(high.speedRpm)} rpm.`,
    apply,
  };
}

/** Two lines at one speed: put together where their heads agree, else the slip of a digit. */
function speedTwice(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (finding.place?.part !== 'speed-line') return null;
  const at = finding.place.line;
  const line = sheet.speedLines[at];
  if (!line) return null;
  const twin = sheet.speedLines.findIndex((l, i) => i < at && Math.abs(l.speedRpm / line.speedRpm - 1) <= 0.002);
  if (twin < 0) return null;
  const rising = linesOf(sheet);
  const [mine, other] = [at, twin].map((index) => rising.find((l) => l.index === index));
  if (mine && other && Math.abs(Math.sqrt(headOf(mine) / headOf(other)) - 1) < SAME_LINE) {
    return {
      description: `Put the points of the two lines at ${groupedNumber(line.speedRpm)} rpm together.`,
      apply: (s) => ({
        ...s,
        speedLines: s.speedLines.flatMap((l, i) =>
          i === at ? [] : [i === twin ? { ...l, points: [...l.points, ...(s.speedLines[at]?.points ?? [])] } : l],
        ),
      }),
    };
  }
  for (const [index, without] of [
    [at, twin],
    [twin, at],
  ] as const) {
    const expected = expectedSpeed(sheet, index, without);
    // The one of the two that the other lines put elsewhere.
    if (expected === null || Math.abs(expected / sheet.speedLines[index]!.speedRpm - 1) < NEAR) continue;
    const repair = slip(finding, sheet, index, expected);
    if (repair) return repair;
  }
  return null;
}

/** Speed of one line by the root of its head, along the straight law through the two lines whose heads are nearest. */
function expectedSpeed(sheet: MapSheet, index: number, without: number): number | null {
  const lines = linesOf(sheet).filter((l) => headOf(l) > 0);
  const own = lines.find((l) => l.index === index);
  if (!own) return null;
  const head = Math.log(headOf(own));
  const [a, b] = lines
    .filter((l) => l.index !== index && l.index !== without)
    .map((l) => ({ head: Math.log(headOf(l)), speed: Math.log(l.speedRpm) }))
    .sort((one, two) => Math.abs(one.head - head) - Math.abs(two.head - head));
  if (!a || !b || Math.abs(a.head - b.head) < 1e-6) return null;
  return Math.exp(a.speed + ((head - a.head) * (b.speed - a.speed)) / (b.head - a.head));
}

/** Speeds typed in thousands of rev/min; percent cannot be told without the design speed. */
function speedUnit(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const top = Math.max(...sheet.speedLines.map((line) => line.speedRpm).filter(Number.isFinite));
  const limit = (sheet.limits?.shaftSpeedRpm ?? 0) / top;
  const tip = (Math.PI * (sheet.wheel?.exducerMm ?? 0) * top) / 60;
  // No sheet goes far beyond 100 %, so a larger number is thousands; below that wheel or rated speed must say so.
  if (!(top > 130 || (tip > 250 && tip < 600) || (limit > 800 && limit < 1500))) return null;
  const apply = (s: MapSheet): MapSheet => ({
    ...s,
    speedLines: s.speedLines.map((l) => ({ ...l, speedRpm: tidy(l.speedRpm * 1000) })),
  });
  return isKindGone(finding, apply(sheet))
    ? { description: 'Multiply all speeds by 1000: they are in thousands of rpm.', apply }
    : null;
}
