import { describe, expect, it } from 'vitest';
import { parseMapFile } from '../../src/build/index.ts';
import { fitSurface } from '../../src/compressor/index.ts';
import { MACHINES } from '../machines/analytic-compressor.ts';
import { type ExactMachine, meanLine } from '../machines/read-sheet.ts';
import { type DrawnPlace, type DrawnSheet, drawSheet } from '../machines/sheet-drawing.ts';
import { closeCleanly, download, openApp, shoot } from './harness.ts';
import { type SheetPicture, type Shooting, shootSheet } from './sheet-picture.ts';
import { TracingHand } from './tracing-hand.ts';

const machine = meanLine(MACHINES[2]!);
const SPEEDS = [0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1].map(
  (share) => Math.round((machine.topSpeedRpm * share) / 1000) * 1000,
);
const LEVELS = [0.55, 0.6, 0.66, 0.72, 0.76];
const sheet = drawSheet(machine, SPEEDS, LEVELS);

const turned =
  (degrees: number): Shooting['corners'] =>
  (width, height) => {
    const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    const turn = (x: number, y: number): DrawnPlace => ({
      x: width / 2 + 0.95 * (cos * (x - width / 2) - sin * (y - height / 2)),
      y: height / 2 + 0.95 * (sin * (x - width / 2) + cos * (y - height / 2)),
    });
    return [turn(0, 0), turn(width, 0), turn(width, height), turn(0, height)];
  };
const straight = turned(0);
/** As a hand-held camera sees a sheet on a bench: the far edge shorter, one side nearer. */
const leaning: Shooting['corners'] = (width, height) => [
  { x: 0.12 * width, y: 0.06 * height },
  { x: 0.9 * width, y: 0.1 * height },
  { x: 0.99 * width, y: 0.97 * height },
  { x: 0.02 * width, y: 0.92 * height },
];

const SHOOTINGS: readonly (Shooting & { mode: 'axes' | 'grid' })[] = [
  { name: 'straight', corners: straight, type: 'image/png', quality: 1, mode: 'axes' },
  { name: 'turned 3 degrees', corners: turned(3), type: 'image/png', quality: 1, mode: 'axes' },
  { name: 'in perspective', corners: leaning, type: 'image/png', quality: 1, mode: 'grid' },
  { name: 'JPEG of quality 60', corners: turned(-1), type: 'image/jpeg', quality: 0.6, mode: 'axes' },
];

interface Clicked {
  flow: number;
  pressureRatio: number;
}

describe('a sheet of a known compressor, traced by mouse', () => {
  it.each(SHOOTINGS)('gives the machine back: $name', async (shooting) => {
    const session = await openApp();
    const blank = await session.context.newPage();
    const picture = await shootSheet(blank, sheet, shooting);
    await blank.close();
    const hand = new TracingHand(session.page);
    const clicked = await traceAll(hand, sheet, picture, shooting.mode);
    await shoot(session.page, `trace-${shooting.name.replace(/\W+/g, '-')}`);
    const { page } = session;
    await page.getByRole('button', { name: 'Back to the plot' }).click();
    const file = await download(page, () => page.getByRole('button', { name: /as a map file$/ }).click());
    const parsed = parseMapFile(JSON.parse(file.bytes.toString('utf8')));
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
    if (parsed.value.kind === 'turbine') throw new Error('a compressor map was expected');
    const judged = judge(machine, parsed.value, clicked);
    // The figures of issue 3: flow and PR read within 0.4 % of full scale; speed within 0.5 %, efficiency within 0.6 point, median.
    expect(judged.flowLargest).toBeLessThan(0.004);
    expect(judged.ratioLargest).toBeLessThan(0.004);
    expect(judged.speedMedian).toBeLessThan(0.005);
    expect(judged.efficiencyMedian).toBeLessThan(0.006);
    await closeCleanly(session);
  });
});

/** Axes, all lines and islands. Gives what was clicked, line by line, in the sheet's numbers. */
async function traceAll(
  hand: TracingHand,
  drawn: DrawnSheet,
  picture: SheetPicture,
  mode: 'axes' | 'grid',
): Promise<Clicked[][]> {
  const at = (flow: number, ratio: number) => picture.placeOf(drawn.placeOf(flow, ratio));
  const [flow0, flow1] = [drawn.axes.flow[0]!, drawn.axes.flow.at(-1)!];
  const [ratio0, ratio1] = [drawn.axes.pressureRatio[0]!, drawn.axes.pressureRatio.at(-1)!];
  await hand.begin();
  await hand.openPicture(picture);
  await hand.step('Axes');
  if (mode === 'axes') {
    await hand.axisPoint(at(flow0, ratio0), [String(flow0)]);
    await hand.axisPoint(at(flow1, ratio0), [String(flow1)]);
    await hand.axisPoint(at(flow0, drawn.axes.pressureRatio[1]!), [String(drawn.axes.pressureRatio[1])]);
    await hand.axisPoint(at(flow0, ratio1), [String(ratio1)]);
  } else {
    await hand.page.getByRole('radio', { name: 'Photo' }).check({ force: true });
    for (const [f, r] of [
      [flow0, ratio0],
      [flow1, ratio0],
      [flow1, ratio1],
      [flow0, ratio1],
    ] as const)
      await hand.axisPoint(at(f, r), [String(f), String(r)]);
  }
  await hand.page.getByText('The axes stand.').waitFor();
  await hand.step('Trace');
  const clicked: Clicked[][] = [];
  for (const [i, speed] of drawn.speeds.entries()) {
    const points = Array.from({ length: 7 }, (_, k) => exact(machine, speed, 0.01 + (0.98 * k) / 6));
    await hand.speedLine(
      speed,
      points.map((p) => at(p.flow, p.pressureRatio)),
      i === 0,
    );
    clicked.push(points);
  }
  for (const island of drawn.islands) {
    const count = Math.max(4, Math.round(island.points.length / 16));
    const points = Array.from(
      { length: count },
      (_, k) => island.points[Math.round((k * (island.points.length - 1)) / (count - 1))]!,
    );
    await hand.island(
      Number((island.efficiency * 100).toFixed(1)),
      points.map((p) => at(p.flow, p.pressureRatio)),
    );
  }
  await hand.reference(298.15, 100);
  return clicked;
}

function exact({ at }: ExactMachine, speed: number, beta: number): Clicked {
  const { correctedMassFlowKgPerS, pressureRatio } = at(speed, beta);
  return { flow: correctedMassFlowKgPerS, pressureRatio };
}

/** How far what was read lies off what was clicked, and the fitted surface off the machine between what was read. */
function judge(truth: ExactMachine, read: Parameters<typeof fitSurface>[0], clicked: readonly Clicked[][]) {
  expect(read.speedLines.map((line) => line.speedRpm)).toEqual(SPEEDS);
  const scale = { flow: sheet.axes.flow.at(-1)!, ratio: sheet.axes.pressureRatio.at(-1)! };
  const off = read.speedLines.flatMap((line, i) =>
    line.points.map((p, k) => ({
      flow: Math.abs(p.flow - clicked[i]![k]!.flow) / scale.flow,
      ratio: Math.abs(p.pressureRatio - clicked[i]![k]!.pressureRatio) / scale.ratio,
    })),
  );
  const surface = fitSurface(read);
  const speeds: number[] = [];
  const efficiencies: number[] = [];
  for (let s = 0; s < 19; s++) {
    const speed = SPEEDS[0]! + ((SPEEDS.at(-1)! - SPEEDS[0]!) * (s + 0.5)) / 19;
    for (let b = 0; b < 15; b++) {
      const point = truth.at(speed, 0.04 + (0.92 * b) / 14);
      const found = surface.at(point.correctedMassFlowKgPerS, point.pressureRatio);
      if (found.correctedSpeedRpm === null || found.efficiency === null) continue;
      speeds.push(Math.abs(found.correctedSpeedRpm / speed - 1));
      efficiencies.push(Math.abs(found.efficiency - point.efficiency));
    }
  }
  expect(speeds.length).toBeGreaterThan(250);
  return {
    flowLargest: Math.max(...off.map((o) => o.flow)),
    ratioLargest: Math.max(...off.map((o) => o.ratio)),
    speedMedian: median(speeds),
    efficiencyMedian: median(efficiencies),
  };
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1]!;
}
