import { type Selection, select } from 'd3';
import { type LabelRequest, type PlacedLabel, placeLabels, type SoftLine } from './labels.ts';
import { HATCH_TILE, type Palette } from './looks.ts';
import { drawNodes, type Group, writeAttributes, writeText } from './nodes.ts';
import { boxesOverlap, LABEL_FONT, type LabelBox, type PixelFrame, type PlotSize, rounded } from './pixels.ts';

/** A path with its looks; what is left out is not written. */
export interface Shape {
  d: string;
  stroke?: string | undefined;
  width?: number | undefined;
  dash?: string | null | undefined;
  fill?: string | undefined;
  fillOpacity?: number | undefined;
  strokeOpacity?: number | undefined;
}

/** A tile that shapes are filled with: `fill: fillOf(context, key)`. */
interface Pattern extends Shape {
  key: string;
  ground?: string;
}

interface TextLook {
  fill: string;
  weight: 400 | 600;
}

export type DrawnLabel = PlacedLabel & TextLook;

/** Where a chart stands: what all its marks have in common. A new object is a new drawing. */
export interface Stage {
  size: PlotSize;
  frame: PixelFrame;
  /** How far clipped layers reach beyond the frame up and down, pixels: half of a line that runs along it lies outside. */
  bleed?: number;
}

/** What labels of the other marks keep off. */
interface Claims {
  /** Where there is room. */
  lines?: readonly SoftLine[];
  /** In any case, by labels of marks that lie under this one. */
  room?: readonly LabelBox[];
}

/** What a mark is drawn with beside its channels and its stage. */
interface Context {
  palette: Palette;
  /** Unique on the page. */
  id: string;
  /** Boxes that its labels never cover: labels of the marks under it, and room that those over it claim. */
  taken: readonly LabelBox[];
  /** Lines claimed by all marks, itself among them. */
  lines: readonly SoftLine[];
  /** The same of the marks under it alone, and of those over it. */
  under: Required<Claims>;
  over: Required<Claims>;
  /** The spots that its labels had in the drawing before, by key: a label should not hop while an input moves. */
  held: ReadonlyMap<string, number>;
}

/** Nodes of one mark by layer. */
export interface Drawn {
  shapes?: Readonly<Record<string, readonly Shape[]>>;
  labels?: Readonly<Record<string, readonly DrawnLabel[]>>;
  patterns?: readonly Pattern[];
  /** Nodes that are neither paths nor labels. */
  nodes?: Readonly<Record<string, (group: Group) => void>>;
}

/**
 * One kind of thing that a chart shows: its channels (`C`, the parts of a model that it reads) and one function that turns them into
 * nodes. It knows no other mark, no axis, no pointer and no chart.
 */
export interface Mark<C extends object, S extends Stage = Stage> {
  claims?(channels: C, stage: S): Claims;
  render(channels: C, stage: S, context: Context): Drawn;
  /** True: drawn again when a mark over it comes to claim the room of one of its labels. */
  yields?: boolean;
  /** True: its labels hold their spots on another stage as well, for axes that grow with an input. */
  isSteady?: boolean;
  /** True: it fills shapes with patterns. */
  hasPatterns?: boolean;
  /** Changes the drawn nodes to those of other channels where that is little; false: it has to be drawn. */
  patch?(before: C, after: C, layer: (name: string) => Group): boolean;
}

/** A mark of a chart: with where in the chart's model its channels are. They are compared by identity. */
export interface BoundMark<Model, S extends Stage> extends Mark<object, S> {
  channels(model: Model): object;
}

/** Binds a mark to a chart's model. */
export function bound<Model, C extends object, S extends Stage>(
  mark: Mark<C, S>,
  channels: (model: Model) => C,
): BoundMark<Model, S> {
  return { ...mark, channels };
}

/** A group of the drawing, from the back to the front. */
export interface Layer {
  name: string;
  /** Cut at the frame. */
  isClipped?: boolean;
  attributes?: Readonly<Record<string, string>>;
  /** Groups inside, addressed as 'name/part'. */
  parts?: readonly string[];
  /** 'g' when left out. */
  tag?: 'text' | 'rect';
}

/** The screen's face first, then faces that any machine that opens an exported file has. */
export const FONT_FAMILY = "Barlow, 'Segoe UI', 'Helvetica Neue', Arial, 'Liberation Sans', Roboto, sans-serif";

/** Baseline shift that puts the middle of figures and capitals on y (dominant-baseline is not understood by every SVG reader). */
export function middle(fontSize: number): number {
  return Math.round(fontSize * 3.5) / 10;
}

/** Those of the shapes that leave a trace. */
export function inked(shapes: readonly Shape[]): Shape[] {
  return shapes.filter(({ d }) => d !== '');
}

export function drawShapes(group: Group, shapes: readonly Shape[]): void {
  drawNodes(group, 'path', shapes, (node, shape) =>
    writeAttributes(node, {
      d: shape.d,
      stroke: shape.stroke,
      'stroke-width': shape.width,
      'stroke-dasharray': shape.dash,
      fill: shape.fill,
      'fill-opacity': shape.fillOpacity,
      'stroke-opacity': shape.strokeOpacity,
    }),
  );
}

/** Placed labels as texts with a halo of the paper's colour, so that lines behind them do not strike through. */
function drawLabels(group: Group, labels: readonly DrawnLabel[], halo: string): void {
  drawNodes(group, 'text', labels, (node, { x, y, angle, anchor, weight, fill, text }) => {
    const turn = angle === 0 ? '' : ` rotate(${rounded(angle)})`;
    writeAttributes(node, {
      transform: `translate(${rounded(x)},${rounded(y)})${turn}`,
      y: middle(LABEL_FONT),
      'text-anchor': anchor,
      'font-size': LABEL_FONT,
      'font-weight': weight,
      fill,
      stroke: halo,
      'stroke-width': 3,
      'stroke-linejoin': 'round',
      'paint-order': 'stroke',
    });
    writeText(node, text);
  });
}

/** Empties the SVG and sets what every drawing's root carries. */
export function prepareRoot(svg: SVGSVGElement) {
  const root = select<SVGSVGElement, unknown>(svg) as Selection<SVGSVGElement, unknown, null, undefined>;
  root.selectAll('*').remove();
  return root.attr('font-family', FONT_FAMILY).attr('style', 'font-variant-numeric: tabular-nums');
}

/** Gives the drawing its size, whole or in tenths of a pixel. */
export function fitRoot(svg: SVGSVGElement, size: PlotSize): void {
  const [width, height] = [rounded(size.width), rounded(size.height)];
  writeAttributes(svg, { width, height, viewBox: `0 0 ${width} ${height}` });
}

/** What fills a shape with a pattern of the same mark. */
export function fillOf({ id }: Pick<Context, 'id'>, key: string): string {
  return `url(#${id}-frame-${key})`;
}

/** A request that knows how its label will look. */
export type StyledRequest = LabelRequest & TextLook;

/** A label stays where it stands until another place is better by this much. */
const STAY = 4.5;

/** Placed labels in the looks of their requests; those that stood somewhere in the drawing before stay there while they can. */
export function placed(
  requests: readonly StyledRequest[],
  frame: PixelFrame,
  { taken, lines, held }: Partial<Pick<Context, 'taken' | 'lines' | 'held'>>,
): DrawnLabel[] {
  const looks = new Map(requests.map(({ key, fill, weight }) => [key, { fill, weight }]));
  const steady = requests.map((request) => {
    const spot = held?.get(request.key);
    if (spot === undefined) return request;
    return { ...request, spots: request.spots.map((at, i) => (i === spot ? { ...at, cost: at.cost - STAY } : at)) };
  });
  return placeLabels(steady, { frame, taken: taken ?? [], lines: lines ?? [] }).map((label) => ({
    ...label,
    ...looks.get(label.key)!,
  }));
}

interface State {
  channels: object;
  claims: Claims;
  drawn: Drawn;
  boxes: readonly LabelBox[];
  held: ReadonlyMap<string, number>;
}

function isSame(a: object, b: object): boolean {
  const [left, right] = [Object.entries(a), b as Readonly<Record<string, unknown>>];
  return left.length === Object.keys(b).length && left.every(([key, value]) => right[key] === value);
}

/**
 * Draws the marks of a chart in the layers of one SVG. A mark whose channels are the same objects as before is not drawn again; the
 * marks over the first one that is, are: their labels keep off its labels.
 */
export class Painter<Model, S extends Stage> {
  private readonly groups = new Map<string, Group>();
  private readonly defs: Selection<SVGDefsElement, unknown, null, undefined>;
  private states: State[] = [];
  /** Where labels stood, on whatever stage. */
  private readonly held: ReadonlyMap<string, number>[] = [];
  private stage: S | null = null;

  constructor(
    private readonly svg: SVGSVGElement,
    private readonly palette: Palette,
    private readonly id: string,
    layers: readonly Layer[],
    private readonly marks: readonly BoundMark<Model, S>[],
    private readonly furnish: (layer: (name: string) => Group, stage: S, palette: Palette) => void,
  ) {
    const root = prepareRoot(svg);
    this.defs = root.append('defs');
    this.defs.append('clipPath').attr('id', `${id}-frame`).append('rect');
    root.append('rect').attr('class', 'paper');
    for (const { name, isClipped, attributes = {}, parts = [], tag = 'g' } of layers) {
      const group = root.append(tag).attr('class', name) as unknown as Group;
      if (isClipped) group.attr('clip-path', `url(#${id}-frame)`);
      for (const [attribute, value] of Object.entries(attributes)) group.attr(attribute, value);
      this.groups.set(name, group);
      for (const part of parts) this.groups.set(`${name}/${part}`, group.append('g').attr('class', part));
    }
  }

  /** Boxes of all labels that are drawn. */
  get labelBoxes(): readonly LabelBox[] {
    return this.states.flatMap(({ boxes }) => boxes);
  }

  paint(model: Model, stage: S): void {
    const isNew = stage !== this.stage;
    this.stage = stage;
    if (isNew) {
      this.states = [];
      this.fit(stage);
      this.furnish(this.layer, stage, this.palette);
    }
    const channels = this.marks.map((mark) => mark.channels(model));
    const claims = this.marks.map(({ claims: claim }, i) => {
      const before = this.states[i];
      return before && isSame(before.channels, channels[i]!) ? before.claims : (claim?.(channels[i]!, stage) ?? {});
    });
    const first = this.marks.findIndex((mark, i) => !this.stands(mark, i, channels[i]!, claims));
    if (first < 0) return;
    const wanted = new Set<string>();
    for (let i = first; i < this.marks.length; i++) {
      const linesOf = (some: readonly Claims[]) => some.flatMap((one) => one.lines ?? []);
      const under = {
        room: this.states.slice(0, i).flatMap(({ boxes }) => boxes),
        lines: linesOf(claims.slice(0, i)),
      };
      const over = {
        room: claims.slice(i + 1).flatMap(({ room = [] }) => room),
        lines: linesOf(claims.slice(i + 1)),
      };
      const drawn = this.marks[i]!.render(channels[i]!, stage, {
        palette: this.palette,
        id: this.id,
        taken: [...under.room, ...over.room],
        lines: linesOf(claims),
        under,
        over,
        held: (this.marks[i]!.isSteady ? this.held[i] : this.states[i]?.held) ?? new Map(),
      });
      for (const name of layersOf(drawn, this.states[i]?.drawn)) wanted.add(name);
      const labels = Object.values(drawn.labels ?? {}).flat();
      this.states[i] = {
        channels: channels[i]!,
        claims: claims[i]!,
        drawn,
        boxes: labels.map(({ box }) => box),
        held: new Map(labels.map(({ key, spot }) => [key, spot])),
      };
      this.held[i] = this.states[i]!.held;
    }
    this.join(wanted);
  }

  private fit({ size, frame, bleed = 0 }: Stage): void {
    const { paper } = this.palette;
    fitRoot(this.svg, size);
    const [width, height] = [rounded(size.width), rounded(size.height)];
    writeAttributes(this.svg.querySelector('.paper')!, { width, height, fill: paper });
    const inner = {
      x: frame.left,
      y: frame.top - bleed,
      width: rounded(frame.right - frame.left),
      height: rounded(frame.bottom - frame.top) + 2 * bleed,
    };
    writeAttributes(this.defs.select<SVGRectElement>('rect').node()!, inner);
    const ground = this.svg.querySelector(':scope > rect.ground');
    if (ground !== null) writeAttributes(ground, { fill: paper, ...inner });
  }

  private readonly layer = (name: string): Group => {
    const group = this.groups.get(name);
    if (!group) throw new Error(`This drawing has no layer '${name}'.`);
    return group;
  };

  /** Whether what is drawn of a mark is still right, or was made right. */
  private stands(mark: BoundMark<Model, S>, i: number, channels: object, claims: readonly Claims[]): boolean {
    const before = this.states[i];
    if (!before) return false;
    if (!isSame(before.channels, channels)) {
      if (!mark.patch?.(before.channels, channels, this.layer)) return false;
      before.channels = channels;
    }
    const over = mark.yields ? claims.slice(i + 1).flatMap(({ room = [] }) => room) : [];
    return !over.some((box) => before.boxes.some((label) => boxesOverlap(box, label)));
  }

  private join(wanted: ReadonlySet<string>): void {
    const all = this.states.map(({ drawn }) => drawn);
    for (const name of wanted) {
      const group = this.layer(name);
      const shapes = all.flatMap((drawn) => drawn.shapes?.[name] ?? []);
      const labels = all.flatMap((drawn) => drawn.labels?.[name] ?? []);
      if (all.some((drawn) => drawn.shapes?.[name])) drawShapes(group, shapes);
      for (const { nodes } of all) nodes?.[name]?.(group);
      if (all.some((drawn) => drawn.labels?.[name])) drawLabels(group, labels, this.palette.paper);
    }
    if (this.marks.some(({ hasPatterns }) => hasPatterns))
      this.drawPatterns(all.flatMap(({ patterns = [] }) => patterns));
  }

  private drawPatterns(patterns: readonly Pattern[]): void {
    const nodes = this.defs
      .selectAll<SVGPatternElement, Pattern>('pattern')
      .data(patterns)
      .join('pattern')
      .attr('id', ({ key }) => `${this.id}-frame-${key}`)
      .attr('patternUnits', 'userSpaceOnUse')
      .attr('width', HATCH_TILE)
      .attr('height', HATCH_TILE);
    nodes
      .selectAll('rect')
      .data(({ ground }) => (ground === undefined ? [] : [ground]))
      .join('rect')
      .attr('width', HATCH_TILE)
      .attr('height', HATCH_TILE)
      .attr('fill', (ground) => ground);
    nodes.each(function draw(pattern) {
      drawShapes(select(this) as unknown as Group, [{ ...pattern, fill: 'none' }]);
    });
  }
}

function layersOf(...all: readonly (Drawn | undefined)[]): string[] {
  return all.flatMap((drawn) =>
    drawn ? [drawn.shapes, drawn.labels, drawn.nodes].flatMap((part) => Object.keys(part ?? {})) : [],
  );
}
