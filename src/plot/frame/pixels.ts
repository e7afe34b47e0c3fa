/** A place on the drawing in pixels; never to be mixed with a data point. */
export interface PixelPoint {
  readonly x: number;
  readonly y: number;
}

/** A rectangle in pixels, by its edges. */
export interface PixelFrame {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export interface PlotSize {
  width: number;
  height: number;
}

export const TICK_FONT = 13;
export const TITLE_FONT = 13;
/** Labels and legends. */
export const LABEL_FONT = 13;

/** A box that may be turned: centre, full width and height, angle in degrees (clockwise on screen, as SVG turns). */
export interface LabelBox {
  x: number;
  y: number;
  width: number;
  height: number;
  angle: number;
}

const RADIANS = Math.PI / 180;

/** The four corners in pixels. */
export function cornersOf(box: LabelBox): PixelPoint[] {
  const c = Math.cos(box.angle * RADIANS);
  const s = Math.sin(box.angle * RADIANS);
  const w = box.width / 2;
  const h = box.height / 2;
  return [
    [-w, -h],
    [w, -h],
    [w, h],
    [-w, h],
  ].map(([u, v]) => ({ x: box.x + u! * c - v! * s, y: box.y + u! * s + v! * c }));
}

function separatedAlong(axisX: number, axisY: number, a: PixelPoint[], b: PixelPoint[]): boolean {
  let aMin = Infinity;
  let aMax = -Infinity;
  let bMin = Infinity;
  let bMax = -Infinity;
  for (const p of a) {
    const d = p.x * axisX + p.y * axisY;
    aMin = Math.min(aMin, d);
    aMax = Math.max(aMax, d);
  }
  for (const p of b) {
    const d = p.x * axisX + p.y * axisY;
    bMin = Math.min(bMin, d);
    bMax = Math.max(bMax, d);
  }
  return aMax <= bMin || bMax <= aMin;
}

/** Length of a step in pixels. Math.hypot is slower and makes an object at every call: it guards against numbers that no drawing has. */
export function lengthOf(dx: number, dy: number): number {
  return Math.sqrt(dx * dx + dy * dy);
}

/** From the middle of a box to its corners. */
export function reachOf({ width, height }: LabelBox): number {
  return lengthOf(width, height) / 2;
}

/** Whether two boxes share any area (touching edges do not count). Separating-axis test. */
export function boxesOverlap(a: LabelBox, b: LabelBox): boolean {
  if (a.angle === 0 && b.angle === 0) {
    return Math.abs(a.x - b.x) * 2 < a.width + b.width && Math.abs(a.y - b.y) * 2 < a.height + b.height;
  }
  const reach = reachOf(a) + reachOf(b);
  if (Math.abs(a.x - b.x) > reach || Math.abs(a.y - b.y) > reach) return false;
  const cornersA = cornersOf(a);
  const cornersB = cornersOf(b);
  for (const angle of [a.angle, a.angle + 90, b.angle, b.angle + 90]) {
    if (separatedAlong(Math.cos(angle * RADIANS), Math.sin(angle * RADIANS), cornersA, cornersB)) return false;
  }
  return true;
}

/**
 * The part of the segment p..q inside the box, as shares 0..1 of the segment; null when it misses the box. Asked thousands of times in a
 * drawing that follows an input: makes no object but its answer.
 */
export function segmentInBox(box: LabelBox, p: PixelPoint, q: PixelPoint): readonly [number, number] | null {
  const reach = reachOf(box);
  if (Math.min(p.x, q.x) > box.x + reach || Math.max(p.x, q.x) < box.x - reach) return null;
  if (Math.min(p.y, q.y) > box.y + reach || Math.max(p.y, q.y) < box.y - reach) return null;
  const c = Math.cos(box.angle * RADIANS);
  const s = Math.sin(box.angle * RADIANS);
  const pu = (p.x - box.x) * c + (p.y - box.y) * s;
  const pv = (p.y - box.y) * c - (p.x - box.x) * s;
  const du = (q.x - p.x) * c + (q.y - p.y) * s;
  const dv = (q.y - p.y) * c - (q.x - p.x) * s;
  const halfU = box.width / 2;
  const halfV = box.height / 2;
  let from = 0;
  let to = 1;
  // Liang-Barsky in the box's own frame. What runs along an axis of it is all inside or all outside of that one.
  if (du !== 0) {
    from = Math.max(from, Math.min((-halfU - pu) / du, (halfU - pu) / du));
    to = Math.min(to, Math.max((-halfU - pu) / du, (halfU - pu) / du));
  } else if (Math.abs(pu) >= halfU) return null;
  if (dv !== 0) {
    from = Math.max(from, Math.min((-halfV - pv) / dv, (halfV - pv) / dv));
    to = Math.min(to, Math.max((-halfV - pv) / dv, (halfV - pv) / dv));
  } else if (Math.abs(pv) >= halfV) return null;
  return from < to ? [from, to] : null;
}

/** A box about a point, such as that of a marker. */
export function boxAbout({ x, y }: PixelPoint, width: number, height = width): LabelBox {
  return { x, y, width, height, angle: 0 };
}

/** The box with a margin added on every side. */
export function grownBox(box: LabelBox, margin: number): LabelBox {
  return { ...box, width: box.width + 2 * margin, height: box.height + 2 * margin };
}

/** From the nearest edge of the box to a point, pixels; 0 inside. */
export function nearestDistance(box: LabelBox, { x, y }: PixelPoint): number {
  const c = Math.cos(box.angle * RADIANS);
  const s = Math.sin(box.angle * RADIANS);
  const across = Math.abs((x - box.x) * c + (y - box.y) * s) - box.width / 2;
  const up = Math.abs((y - box.y) * c - (x - box.x) * s) - box.height / 2;
  return lengthOf(Math.max(0, across), Math.max(0, up));
}

/** One decimal of a pixel is finer than any screen shows and keeps the file small. */
export function rounded(pixels: number): number {
  return Math.round(pixels * 10) / 10;
}

/**
 * Pixel runs of a list of data points. A point that is null or not finite breaks the line: the runs before and after it are separate.
 * `toPixel` must be finite for finite data.
 */
export function pixelRuns<T>(points: readonly (T | null)[], toPixel: (point: T) => PixelPoint): PixelPoint[][] {
  const runs: PixelPoint[][] = [];
  let run: PixelPoint[] = [];
  for (const point of points) {
    const pixel = point === null ? null : toPixel(point);
    if (pixel && Number.isFinite(pixel.x) && Number.isFinite(pixel.y)) {
      run.push(pixel);
    } else if (run.length > 0) {
      runs.push(run);
      run = [];
    }
  }
  if (run.length > 0) runs.push(run);
  return runs;
}

/** The `d` of straight segments through each run; runs of one point draw nothing. Empty string when there is nothing to draw. */
export function linePath(runs: readonly (readonly PixelPoint[])[], closed = false): string {
  let d = '';
  for (const run of runs) {
    if (run.length < 2) continue;
    run.forEach((point, index) => {
      d += `${index === 0 ? 'M' : 'L'}${rounded(point.x)},${rounded(point.y)}`;
    });
    if (closed) d += 'Z';
  }
  return d;
}

/** A run with the part inside the box taken out: the gap in which a label stands. */
export function cutByBox(run: readonly PixelPoint[], box: LabelBox): PixelPoint[][] {
  const pieces: PixelPoint[][] = [];
  let piece: PixelPoint[] = [];
  const between = (p: PixelPoint, q: PixelPoint, t: number) => ({ x: p.x + (q.x - p.x) * t, y: p.y + (q.y - p.y) * t });
  for (let i = 0; i + 1 < run.length; i++) {
    const p = run[i]!;
    const q = run[i + 1]!;
    const inside = segmentInBox(box, p, q);
    if (piece.length === 0 && !(inside && inside[0] === 0)) piece.push(p);
    if (!inside) {
      piece.push(q);
      continue;
    }
    if (inside[0] > 0) piece.push(between(p, q, inside[0]));
    if (piece.length > 1) pieces.push(piece);
    piece = inside[1] < 1 ? [between(p, q, inside[1]), q] : [];
  }
  if (piece.length > 1) pieces.push(piece);
  return pieces;
}

/*
 * Label boxes are needed before anything is on a screen (in Node, in tests, for the exported file), so widths are estimated from a
 * small table of advance widths. It is on the wide side of Barlow, Segoe UI and Arial: a label may get a little too much room, never too little.
 */
const WIDE = /[MWmw@%—…&]/;
const NARROW = /[ijlI.,:;'|!()[\]\s·ft]/;
const UPPER = /[A-ZΔΩ]/;

/** Widths of the characters met so far, em: a drawing asks for the same few thousands of times. */
const known = new Map<string, number>();

function characterWidth(character: string): number {
  let em = known.get(character);
  if (em === undefined) {
    em = WIDE.test(character) ? 0.9 : NARROW.test(character) ? 0.31 : UPPER.test(character) ? 0.69 : 0.575;
    known.set(character, em);
  }
  return em;
}

/** Width of a text in pixels at a font size in pixels, estimated on the wide side; bold adds 6 %. */
export function textWidth(text: string, fontSize: number, bold = false): number {
  let em = 0;
  for (const character of text) em += characterWidth(character);
  return em * fontSize * (bold ? 1.06 : 1);
}

/** A text in rows no wider than `width` pixels, broken at spaces; line breaks in the text are kept. A single longer word stands alone. */
export function wrappedText(text: string, fontSize: number, width: number): string[] {
  const rows: string[] = [];
  for (const paragraph of text.split('\n')) {
    let row = '';
    for (const word of paragraph.split(' ').filter((part) => part !== '')) {
      const longer = row === '' ? word : `${row} ${word}`;
      if (row !== '' && textWidth(longer, fontSize) > width) {
        rows.push(row);
        row = word;
      } else row = longer;
    }
    if (row !== '') rows.push(row);
  }
  return rows;
}
