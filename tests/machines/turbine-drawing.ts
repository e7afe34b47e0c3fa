import type { DrawnPlace } from './sheet-drawing.ts';

/**
 * An invented turbine that is known exactly: the classical ellipse law of a multistage turbine, flow parameter
 * W sqrt(T03)/p03 = K sqrt(1 - (1/ER)^2) (Stodola 1927, as in Dixon & Hall, Fluid Mechanics and Thermodynamics of Turbomachinery; from
 * memory), which is another law than the program's own.
 */
export interface EllipseLine {
  /** Speed as printed: rpm over the root of K. */
  speed: number;
  /** K, kg sqrt(K) / (s kPa). */
  constant: number;
  from: number;
  to: number;
}

export function ellipseFlow({ constant }: EllipseLine, expansionRatio: number): number {
  return constant * Math.sqrt(1 - expansionRatio ** -2);
}

export const ELLIPSE_LINES: readonly EllipseLine[] = [
  { speed: 2000, constant: 0.0158, from: 1.25, to: 2.1 },
  { speed: 3000, constant: 0.015, from: 1.5, to: 2.9 },
];

export interface DrawnTurbine {
  svg: string;
  width: number;
  height: number;
  /** Exact place of an expansion ratio and a flow parameter on the drawing. */
  placeOf(expansionRatio: number, flow: number): DrawnPlace;
  axes: { expansionRatio: readonly number[]; flow: readonly number[] };
}

const WIDTH = 1600;
const HEIGHT = 1100;
const FRAME = { left: 170, right: 1530, top: 60, bottom: 990 };
const RATIOS = [1, 1.5, 2, 2.5, 3];
const FLOWS = [0, 0.004, 0.008, 0.012, 0.016];

/** The sheet as it would be printed: expansion ratio across, flow parameter up, grid, and one line a speed. */
export function drawTurbine(lines: readonly EllipseLine[]): DrawnTurbine {
  const placeOf = (ratio: number, flow: number): DrawnPlace => ({
    x: FRAME.left + ((ratio - 1) / 2) * (FRAME.right - FRAME.left),
    y: FRAME.bottom - (flow / 0.016) * (FRAME.bottom - FRAME.top),
  });
  const path = (points: readonly DrawnPlace[]) =>
    points.map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(3)} ${y.toFixed(3)}`).join('');
  const curve = (line: EllipseLine) =>
    Array.from({ length: 161 }, (_, i) => {
      const ratio = line.from + ((line.to - line.from) * i) / 160;
      return placeOf(ratio, ellipseFlow(line, ratio));
    });
  const text = ({ x, y }: DrawnPlace, words: string, anchor: string) =>
    `<text x="${x}" y="${y}" text-anchor="${anchor}">${words}</text>`;
  const grid = [
    ...RATIOS.map((r) => path([placeOf(r, 0), placeOf(r, 0.016)])),
    ...FLOWS.map((f) => path([placeOf(1, f), placeOf(3, f)])),
  ];
  const numbers = [
    ...RATIOS.map((r) => text({ x: placeOf(r, 0).x, y: FRAME.bottom + 34 }, r.toFixed(1), 'middle')),
    ...FLOWS.map((f) => text({ x: FRAME.left - 14, y: placeOf(1, f).y + 7 }, f.toFixed(3), 'end')),
    ...lines.map((l) => text({ x: curve(l).at(-1)!.x + 10, y: curve(l).at(-1)!.y + 7 }, String(l.speed), 'start')),
    text({ x: (FRAME.left + FRAME.right) / 2, y: HEIGHT - 22 }, 'Expansion ratio, total to static', 'middle'),
    text({ x: FRAME.left, y: 36 }, 'Flow parameter, kg √K / (s kPa)', 'start'),
  ];
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 ${WIDTH} ${HEIGHT}">
<style>path{fill:none;stroke:#111;stroke-width:2.4}.g{stroke:#bbb;stroke-width:1}text{font:22px sans-serif;fill:#222}</style>
<rect width="100%" height="100%" fill="#fdfdfb"/>
${grid.map((d) => `<path class="g" d="${d}"/>`).join('')}
<path d="M${FRAME.left} ${FRAME.top}V${FRAME.bottom}H${FRAME.right}"/>
${lines.map((line) => `<path d="${path(curve(line))}"/>`).join('')}
${numbers.join('')}
</svg>`;
  return { svg, width: WIDTH, height: HEIGHT, placeOf, axes: { expansionRatio: RATIOS, flow: FLOWS } };
}
