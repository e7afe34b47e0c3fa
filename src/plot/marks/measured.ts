import { type MapStage, type PlotMeasured, toPixel } from '../charts/map-model.ts';
import { inked, type Mark, type Shape } from '../frame/mark.ts';
import { linePath, type PixelPoint, rounded } from '../frame/pixels.ts';

const circle = ({ x, y }: PixelPoint, radius: number) =>
  `M${rounded(x - radius)},${rounded(y)}a${radius},${radius} 0 1,0 ${2 * radius},0a${radius},${radius} 0 1,0 ${-2 * radius},0Z`;
const cross = ({ x, y }: PixelPoint) =>
  linePath([
    [
      { x: x - 3, y: y - 3 },
      { x: x + 3, y: y + 3 },
    ],
    [
      { x: x - 3, y: y + 3 },
      { x: x + 3, y: y - 3 },
    ],
  ]);

/**
 * Rows of a road log: full dots where the map meters well, hollow ones where it does so weakly, crosses for rows that are kept out; each with
 * its band along the flow. Where only the ratio is known the band stands alone.
 */
export const measuredRows: Mark<{ measured: readonly PlotMeasured[] }, MapStage> = {
  render({ measured }, scales, { palette }) {
    const at = (flow: number, pressureRatio: number) =>
      toPixel(scales, { correctedMassFlowKgPerS: flow, pressureRatio });
    const dots = { good: '', weak: '', out: '' };
    let bands = '';
    let bars = '';
    for (const { flowKgPerS, pressureRatio, band, kind } of measured) {
      const ends = band?.map((flow) => at(flow, pressureRatio)) ?? [];
      if (ends.length === 2 && ends.every(({ x, y }) => Number.isFinite(x) && Number.isFinite(y))) {
        if (kind === 'ratio') bars += linePath([ends]);
        else bands += linePath([ends]);
      }
      if (flowKgPerS === null || kind === 'ratio') continue;
      const place = at(flowKgPerS, pressureRatio);
      if (!Number.isFinite(place.x) || !Number.isFinite(place.y)) continue;
      dots[kind] += kind === 'out' ? cross(place) : circle(place, 2.6);
    }
    const { ink, inkFaint, paper } = palette;
    const shapes: Shape[] = [
      { d: bars, stroke: inkFaint, width: 1, dash: '2 3', fill: 'none' },
      { d: bands, stroke: ink, width: 0.8, strokeOpacity: 0.45, fill: 'none' },
      { d: dots.out, stroke: inkFaint, width: 1.1, fill: 'none' },
      { d: dots.weak, stroke: ink, width: 1.1, fill: paper },
      { d: dots.good, stroke: paper, width: 0.6, fill: ink },
    ];
    return { shapes: { measured: inked(shapes) } };
  },
};
