import type { ExactMachine } from './read-sheet.ts';

/** A place on the drawing, pixels from its top left corner. */
export interface DrawnPlace {
  x: number;
  y: number;
}

/** The sheet of an exact machine as a printed drawing, and where its numbers stand on it. */
export interface DrawnSheet {
  svg: string;
  width: number;
  height: number;
  /** Exact place of a flow (kg/s) and pressure ratio. */
  placeOf(flow: number, pressureRatio: number): DrawnPlace;
  speeds: readonly number[];
  /** Pieces of contours of equal efficiency, in flow and pressure ratio. */
  islands: readonly { efficiency: number; points: readonly { flow: number; pressureRatio: number }[] }[];
  axes: { flow: readonly number[]; pressureRatio: readonly number[] };
}

const WIDTH = 1600;
const HEIGHT = 1200;
const FRAME = { left: 130, right: 1540, top: 60, bottom: 1090 };

/** Draws a machine's sheet: axes with grid, speed lines with their rpm, surge line, efficiency islands. */
export function drawSheet(machine: ExactMachine, speeds: readonly number[], levels: readonly number[]): DrawnSheet {
  const top = machine.at(speeds.at(-1)!, 0);
  const right = machine.at(speeds.at(-1)!, 1);
  const flowStep = right.correctedMassFlowKgPerS > 0.3 ? 0.1 : 0.05;
  const flows = ticks(0, Math.ceil((right.correctedMassFlowKgPerS * 1.04) / flowStep) * flowStep, flowStep);
  const ratios = ticks(1, Math.ceil(top.pressureRatio * 2.1) / 2, 0.5);
  const maxFlow = flows.at(-1)!;
  const maxRatio = ratios.at(-1)!;
  const placeOf = (flow: number, ratio: number): DrawnPlace => ({
    x: FRAME.left + (flow / maxFlow) * (FRAME.right - FRAME.left),
    y: FRAME.bottom - ((ratio - 1) / (maxRatio - 1)) * (FRAME.bottom - FRAME.top),
  });
  const path = (points: readonly { flow: number; pressureRatio: number }[]) =>
    points
      .map(({ flow, pressureRatio }, i) => {
        const { x, y } = placeOf(flow, pressureRatio);
        return `${i === 0 ? 'M' : 'L'}${x.toFixed(3)} ${y.toFixed(3)}`;
      })
      .join('');
  const line = (speed: number) => Array.from({ length: 81 }, (_, i) => dataAt(machine, speed, i / 80));
  const islands = levels.flatMap((efficiency) => islandAt(machine, speeds, efficiency));
  const grid = [
    ...flows.map(
      (f) =>
        `<path d="${path([
          { flow: f, pressureRatio: 1 },
          { flow: f, pressureRatio: maxRatio },
        ])}" class="g"/>`,
    ),
    ...ratios.map(
      (r) =>
        `<path d="${path([
          { flow: 0, pressureRatio: r },
          { flow: maxFlow, pressureRatio: r },
        ])}" class="g"/>`,
    ),
  ];
  const numbers = [
    ...flows.map((f) => text(placeOf(f, 1), f.toFixed(2), 0, 28, 'middle')),
    ...ratios.map((r) => text(placeOf(0, r), r.toFixed(1), -12, 6, 'end')),
    ...speeds.map((s) => text(placeOf(...pair(machine.at(s, 1))), String(s), 6, 4, 'start')),
  ];
  const surge = Array.from({ length: 41 }, (_, i) =>
    dataAt(machine, speeds[0]! + ((speeds.at(-1)! - speeds[0]!) * i) / 40, 0),
  );
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 ${WIDTH} ${HEIGHT}">
<style>path{fill:none;stroke:#111;stroke-width:2.2}.g{stroke:#bbb;stroke-width:1}.s{stroke-width:3}.i{stroke:#1d6b46;stroke-width:1.8}text{font:20px sans-serif;fill:#222}</style>
<rect width="100%" height="100%" fill="#fdfdfb"/>
${grid.join('')}
<path d="M${FRAME.left} ${FRAME.top}V${FRAME.bottom}H${FRAME.right}"/>
${islands.map((island) => `<path class="i" d="${path(island.points)}"/>`).join('')}
${speeds.map((s) => `<path d="${path(line(s))}"/>`).join('')}
<path class="s" d="${path(surge)}"/>
${numbers.join('')}
</svg>`;
  return { svg, width: WIDTH, height: HEIGHT, placeOf, speeds, islands, axes: { flow: flows, pressureRatio: ratios } };
}

function dataAt(machine: ExactMachine, speed: number, beta: number) {
  const { correctedMassFlowKgPerS, pressureRatio } = machine.at(speed, beta);
  return { flow: correctedMassFlowKgPerS, pressureRatio };
}

/**
 * Where the efficiency has the level: left and right of the best place of each speed, joined over the speeds; in pieces where the
 * contour leaves the map.
 */
function islandAt(machine: ExactMachine, speeds: readonly number[], efficiency: number) {
  const [low, high] = [speeds[0]!, speeds.at(-1)!];
  const sides: { left: DataAt[][]; right: DataAt[][] } = { left: [[]], right: [[]] };
  const count = 160;
  const add = (pieces: DataAt[][], at: DataAt | null) => {
    if (at !== null) pieces.at(-1)!.push(at);
    else if (pieces.at(-1)!.length > 0) pieces.push([]);
  };
  for (let i = 0; i <= count; i++) {
    const speed = low + ((high - low) * i) / count;
    const betas = Array.from({ length: 201 }, (_, k) => k / 200);
    const values = betas.map((beta) => machine.at(speed, beta).efficiency);
    const best = values.indexOf(Math.max(...values));
    const cross = (to: number): DataAt | null => {
      if (values[best]! < efficiency || values[to]! >= efficiency) return null;
      let [a, b] = [betas[best]!, betas[to]!];
      for (let n = 0; n < 50; n++) {
        const middle = (a + b) / 2;
        if (machine.at(speed, middle).efficiency >= efficiency) a = middle;
        else b = middle;
      }
      return dataAt(machine, speed, a);
    };
    add(sides.left, cross(0));
    add(sides.right, cross(200));
  }
  const pieces = [...sides.left, ...sides.right].filter((piece) => piece.length > 8);
  return pieces.map((points) => ({ efficiency, points }));
}

type DataAt = { flow: number; pressureRatio: number };

const pair = (p: { correctedMassFlowKgPerS: number; pressureRatio: number }): [number, number] => [
  p.correctedMassFlowKgPerS,
  p.pressureRatio,
];

function ticks(from: number, to: number, step: number): number[] {
  return Array.from({ length: Math.round((to - from) / step) + 1 }, (_, i) => Number((from + i * step).toFixed(6)));
}

function text({ x, y }: DrawnPlace, words: string, dx: number, dy: number, anchor: string): string {
  return `<text x="${x + dx}" y="${y + dy}" text-anchor="${anchor}">${words}</text>`;
}
