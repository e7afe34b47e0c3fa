import {
  draftToSheet,
  emptyHabits,
  lineSpeed,
  type MapDraft,
  type SheetHabits,
  sheetToDraft,
  sheetUnits,
} from '../../../build/index.ts';
import type { MapSheet } from '../../../compressor/index.ts';
import { correctOutlet, isClosedContour, placeEfficiencies, proposeSpeeds } from '../../../reading/index.ts';
import { formatNumber, fromSi, parseNumber, parseQuantity, plainNumber } from '../../../units/index.ts';
import { staticOutlet, tracingOf } from './axes.ts';
import { setAxes } from './tracePoints.ts';

/** What the tables lack that can be completed, with the words for it. Each step gives a new draft and says what it took for granted. */
interface Completion {
  key: string;
  /** What is the matter. */
  message: string;
  /** What the button does. */
  action: string;
  apply(draft: MapDraft): MapDraft;
}

/** How the sheet prints its numbers. Points that were traced are read anew; typed ones stay. */
export function setHabits(draft: MapDraft, changed: Partial<SheetHabits>): MapDraft {
  const next = { ...draft, habits: { ...(draft.habits ?? emptyHabits), ...changed } };
  return setAxes(next, tracingOf(next).axes);
}

/** Everything that can be completed just now. */
export function completions(draft: MapDraft): Completion[] {
  const read = draftToSheet(draft);
  return [
    ...unlabelled(draft),
    ...(read.ok && read.problems.every((p) => p.place?.part === 'speed-line' && p.place.point === undefined)
      ? [...readingsToPlace(draft, read.sheet), ...islandShapes(draft), ...typedStatic(draft, read.sheet)]
      : islandShapes(draft)),
  ];
}

function unlabelled(draft: MapDraft): Completion[] {
  const lines = draft.speedLines.map((line) => {
    const speed = lineSpeed(line.speed, draft.habits);
    return { speedRpm: speed.ok ? speed.rpm : null, points: pointsOf(line.points) };
  });
  const without = lines.flatMap((line, i) =>
    line.speedRpm === null && line.points.length > 1 && draft.speedLines[i]?.speed.trim() === '' ? [i] : [],
  );
  const temperature = parseQuantity(draft.reference.temperature.text, 'temperature', draft.reference.temperature.unit);
  if (without.length === 0) return [];
  const exducer = parseQuantity(draft.wheel.exducer.text, 'wheel-length', draft.wheel.exducer.unit);
  const proposals = proposeSpeeds({
    lines,
    exducerMm: exducer.ok ? exducer.si * 1000 : undefined,
    referenceTemperatureK: temperature.ok ? temperature.si : 298.15,
  });
  const wanted = (proposals ?? []).filter(({ line }) => without.includes(line));
  const many = without.length === 1 ? 'A speed line has no speed' : `${without.length} speed lines have no speed`;
  if (wanted.length === 0) {
    const message = `${many}, and nothing says what it is. Enter the speed of one line, or the exducer diameter.`;
    return [{ key: 'speeds', message, action: '', apply: (d) => d }];
  }
  const proposed = wanted.map(
    (p) =>
      `line ${p.line + 1}: ${formatNumber(p.roundedRpm, 0)} rpm, give or take ${(p.uncertainty * 100).toFixed(1)} %`,
  );
  return [
    {
      key: 'speeds',
      message: `${many}. Proposed from the pressure ratios: ${proposed.join('; ')}.`,
      action: wanted.length === 1 ? 'Take the proposed speed' : 'Take the proposed speeds',
      apply: (d) => ({
        ...d,
        speedLines: d.speedLines.map((line, i) => {
          const found = line.speed.trim() === '' ? wanted.find((p) => p.line === i) : undefined;
          return found === undefined ? line : { ...line, speed: String(found.roundedRpm) };
        }),
        assumed: [...(d.assumed ?? []), `Speeds without a label were proposed: ${proposed.join('; ')}.`],
      }),
    },
  ];
}

function readingsToPlace(draft: MapDraft, sheet: MapSheet): Completion[] {
  const rows = draft.efficiencyReadings ?? [];
  const scale = draft.efficiencyUnit === '%' ? 100 : 1;
  const readings = rows.flatMap((row) => {
    const efficiency = parseNumber(row.efficiency);
    const share = efficiency.ok ? efficiency.value / scale : 0;
    return share > 0 && share <= 1 ? pointsOf([row]).map((place) => ({ ...place, efficiency: share })) : [];
  });
  if (readings.length === 0) return [];
  const done = placeEfficiencies(sheet, readings);
  return [
    {
      key: 'readings',
      message: `${readings.length} single efficiency readings stand by themselves; the surface does not see them yet.`,
      action: 'Put them where they belong',
      apply: (d) => ({
        ...applySheet(d, sheet, done.sheet),
        efficiencyReadings: rows.filter((row) => !parseNumber(row.efficiency).ok),
        assumed: [...(d.assumed ?? []), ...done.assumed],
      }),
    },
  ];
}

function islandShapes(draft: MapDraft): Completion[] {
  const all = [...draft.speedLines, ...draft.islands].flatMap((part) => pointsOf(part.points));
  const scale = {
    flow: Math.max(...all.map((p) => p.flow), 1e-9),
    pressureRatio: Math.max(...all.map((p) => p.pressureRatio), 1e-9),
  };
  return draft.islands.flatMap((island, i): Completion[] => {
    const points = pointsOf(island.points);
    const looks = isClosedContour(points, scale);
    if (points.length < 4 || looks === island.closed) return [];
    const name = island.efficiency.trim() === '' ? `Island ${i + 1}` : `The ${island.efficiency} island`;
    return [
      {
        key: `island ${i}`,
        message: looks
          ? `${name} ends where it began, but is marked as open.`
          : `${name} ends apart from where it began, but is marked as closed: is it cut by the edge of the map?`,
        action: looks ? 'Mark it as closed' : 'Mark it as open',
        apply: (d) => ({ ...d, islands: d.islands.map((old, k) => (k === i ? { ...old, closed: looks } : old)) }),
      },
    ];
  });
}

/** A table that was typed from a sheet of static ratios: corrected once. What is traced is corrected as it is read. */
function typedStatic(draft: MapDraft, sheet: MapSheet): Completion[] {
  const outlet = staticOutlet(draft);
  if (outlet === null || tracingOf(draft).marks.length > 0) return [];
  const done = correctOutlet(sheet, outlet.diameterM * 1000);
  const message = 'The pressure ratios in the tables are made with the static outlet pressure.';
  if ('problem' in done) return [{ key: 'static', message: `${message} ${done.problem}`, action: '', apply: (d) => d }];
  return [
    {
      key: 'static',
      message,
      action: 'Correct them to total',
      apply: (d) => ({
        ...applySheet(d, sheet, done.sheet),
        habits: { ...(d.habits ?? emptyHabits), outletPressure: 'total' },
        assumed: [...(d.assumed ?? []), ...done.assumed],
      }),
    },
  ];
}

function pointsOf(rows: readonly { flow: string; pressureRatio: string }[]) {
  return rows.flatMap((row) => {
    const [flow, ratio] = [parseNumber(row.flow), parseNumber(row.pressureRatio)];
    return flow.ok && ratio.ok ? [{ flow: flow.value, pressureRatio: ratio.value }] : [];
  });
}

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
    ...(differs(before.reference, after.reference) && {
      reference: referenceOf(draft, before.reference, after.reference),
    }),
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

/** A changed reference state in the units that its fields have. */
function referenceOf(draft: MapDraft, before: MapSheet['reference'], after: MapSheet['reference']) {
  const units = sheetUnits(draft);
  const cell = (quantity: 'temperature' | 'pressure-absolute', si: number, unit: string) => ({
    text: plainNumber(fromSi(si, quantity, unit)),
    unit,
  });
  const { temperatureK, pressurePa } = after;
  return {
    ...draft.reference,
    ...(temperatureK !== before.temperatureK && { temperature: cell('temperature', temperatureK, units.temperature) }),
    ...(pressurePa !== before.pressurePa && { pressure: cell('pressure-absolute', pressurePa, units.pressure) }),
  };
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
