import { auditContext, groupedNumber, settleContext } from '../audit-context.ts';
import { doubtfulSpeeds, headOf } from '../audit-lines.ts';
import { findStrayPoints } from '../audit-points.ts';
import type { AuditFinding, MapSheet } from '../types.ts';
import type { ProposedRepair } from './quality-types.ts';
import { isGone, isKindGone } from './repair-check.ts';

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

function linesOf(sheet: MapSheet) {
  const context = auditContext(sheet);
  settleContext(context, findStrayPoints(context));
  return context.rising;
}

/** A digit typed wrong, two digits swapped, a digit too many or too few, that brings the speed to where the other lines put it. */
export function repairSpeedSlip(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (finding.place?.part !== 'speed-line') return null;
  const at = finding.place.line;
  const speedRpm = sheet.speedLines[at]?.speedRpm;
  const expected = doubtfulSpeeds(linesOf(sheet)).find((d) => d.line.index === at)?.expectedRpm;
  if (speedRpm === undefined || expected === undefined) return null;
  return slip(finding, sheet, at, speedRpm, expected);
}

function slip(
  finding: AuditFinding,
  sheet: MapSheet,
  at: number,
  speedRpm: number,
  expected: number,
): ProposedRepair | null {
  const step = commonStep(sheet.speedLines.filter((_, i) => i !== at).map((line) => line.speedRpm));
  const unlikely = (c: { speed: number; rank: number }) =>
    Math.abs(Math.log(c.speed / expected)) / LIKELY + RANK_WEIGHT * c.rank;
  const near = slips(speedRpm)
    .filter((c) => c.speed % step === 0 && Math.abs(c.speed / expected - 1) < NEAR)
    .sort((a, b) => unlikely(a) - unlikely(b));
  for (const { speed } of near) {
    if (!isGone(finding, withSpeed(sheet, at, speed))) continue;
    return {
      description: `Change the speed ${groupedNumber(speedRpm)} rpm to ${groupedNumber(speed)} rpm: one slip of a digit away, and where the other lines put it.`,
      apply: (s) => withSpeed(s, at, speed),
    };
  }
  return null;
}

/** The coarsest round step of which all speeds are multiples: a sheet's labels are all rounded alike. */
function commonStep(speeds: readonly number[]): number {
  return [10_000, 5000, 2000, 1000, 500, 200, 100, 50, 10].find((step) => speeds.every((s) => s % step === 0)) ?? 1;
}

/** What may have been meant: rank 0 for two digits swapped or a zero too many or too few, 1 for a digit mistyped. */
function slips(speed: number): { speed: number; rank: number }[] {
  if (!Number.isInteger(speed) || speed <= 0) return [];
  const digits = [...String(speed)];
  const found: { speed: number; rank: number }[] = [
    { speed: speed * 10, rank: 0 },
    { speed: Math.round(speed / 10), rank: 0 },
  ];
  digits.forEach((digit, i) => {
    const next = digits[i + 1];
    if (next !== undefined && next !== digit) {
      found.push({
        speed: Number(
          digits
            .with(i, next)
            .with(i + 1, digit)
            .join(''),
        ),
        rank: 0,
      });
    }
    found.push({ speed: Number(digits.toSpliced(i, 1).join('')), rank: 1 });
    for (let d = 0; d <= 9; d++) {
      if (String(d) !== digit) found.push({ speed: Number(digits.with(i, String(d)).join('')), rank: 1 });
      found.push({ speed: Number(digits.toSpliced(i, 0, String(d)).join('')), rank: 1 });
    }
  });
  return found.filter((f) => f.speed > 0 && f.speed !== speed);
}

/** Two lines that lie the wrong way round: their speeds changed over. */
export function repairSpeedOrder(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (finding.place?.part !== 'speed-line') return null;
  const at = finding.place.line;
  const rising = linesOf(sheet);
  const low = rising[rising.findIndex((line) => line.index === at) - 1];
  const high = sheet.speedLines[at];
  if (!low || !high) return null;
  const apply = (s: MapSheet) => withSpeed(withSpeed(s, at, low.speedRpm), low.index, high.speedRpm);
  if (!isGone(finding, apply(sheet)) || auditsWorse(sheet, apply(sheet))) return null;
  return {
    description: `Swap the speeds of the two lines, ${groupedNumber(low.speedRpm)} and ${groupedNumber(high.speedRpm)} rpm.`,
    apply,
  };
}

function auditsWorse(before: MapSheet, after: MapSheet): boolean {
  return doubtfulSpeeds(linesOf(after)).length > doubtfulSpeeds(linesOf(before)).length;
}

/** Two lines at one speed: put together where their heads agree, else the slip of a digit. */
export function repairSpeedTwice(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  if (finding.place?.part !== 'speed-line') return null;
  const at = finding.place.line;
  const line = sheet.speedLines[at];
  if (!line) return null;
  const twin = sheet.speedLines.findIndex((l, i) => i < at && Math.abs(l.speedRpm / line.speedRpm - 1) <= 0.002);
  if (twin < 0) return null;
  const rising = linesOf(sheet);
  const [mine, other] = [at, twin].map((index) => rising.find((l) => l.index === index));
  if (mine && other && Math.abs(Math.sqrt(headOf(mine) / headOf(other)) - 1) < SAME_LINE) {
    const apply = (s: MapSheet): MapSheet => ({
      ...s,
      speedLines: s.speedLines.flatMap((l, i) =>
        i === at ? [] : [i === twin ? { ...l, points: [...l.points, ...(s.speedLines[at]?.points ?? [])] } : l],
      ),
    });
    const description = `Put the points of the two lines at ${groupedNumber(line.speedRpm)} rpm together.`;
    return isGone(finding, apply(sheet)) ? { description, apply } : null;
  }
  for (const [index, speedRpm] of [
    [at, line.speedRpm],
    [twin, sheet.speedLines[twin]!.speedRpm],
  ] as const) {
    const expected = expectedSpeed(sheet, index, index === at ? twin : at);
    // The one of the two that the other lines put elsewhere.
    if (expected === null || Math.abs(expected / speedRpm - 1) < NEAR) continue;
    const repair = slip(finding, sheet, index, speedRpm, expected);
    if (repair) return repair;
  }
  return null;
}

/** Speed of one line by the root of its head, along the straight law through the two lines whose heads are nearest. */
function expectedSpeed(sheet: MapSheet, index: number, without: number): number | null {
  const lines = linesOf(sheet);
  const own = lines.find((l) => l.index === index);
  if (!own || !(headOf(own) > 0)) return null;
  const head = Math.log(headOf(own));
  const near = lines
    .filter((l) => l.index !== index && l.index !== without && headOf(l) > 0)
    .map((l) => ({ head: Math.log(headOf(l)), speed: Math.log(l.speedRpm) }))
    .sort((a, b) => Math.abs(a.head - head) - Math.abs(b.head - head));
  const [a, b] = near;
  if (!a || !b || Math.abs(a.head - b.head) < 1e-6) return null;
  return Math.exp(a.speed + ((head - a.head) * (b.speed - a.speed)) / (b.head - a.head));
}

/** Speeds typed in thousands of rev/min; percent cannot be told without the design speed. */
export function repairSpeedUnit(finding: AuditFinding, sheet: MapSheet): ProposedRepair | null {
  const top = Math.max(...sheet.speedLines.map((line) => line.speedRpm).filter(Number.isFinite));
  const limit = sheet.limits?.shaftSpeedRpm;
  const exducer = sheet.wheel?.exducerMm;
  const tip = exducer === undefined ? null : (Math.PI * exducer * top) / 60;
  // No sheet goes far beyond 100 %, so a larger number is thousands; below that wheel or rated speed must say so.
  const thousands =
    top > 130 ||
    (tip !== null && tip > 250 && tip < 600) ||
    (limit !== undefined && limit / top > 800 && limit / top < 1500);
  if (!thousands) return null;
  const apply = (s: MapSheet): MapSheet => ({
    ...s,
    speedLines: s.speedLines.map((l) => ({ ...l, speedRpm: Number((l.speedRpm * 1000).toPrecision(12)) })),
  });
  return isKindGone(finding, apply(sheet))
    ? { description: 'Multiply all speeds by 1,000: they are in thousands of rpm.', apply }
    : null;
}
