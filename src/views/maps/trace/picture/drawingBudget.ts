import { formatNumber } from '../../../../units/index.ts';

/** A drawing of a map has some thousands of elements; beyond this the page would stand still while it is drawn. */
const MOST_DRAWN = 100_000;
/** A path so long weighs as one more element. */
const PATH_LENGTH = 200;
/** What a filter costs beside a shape: it works on every pixel. */
const FILTER_STEP = 2_000;

/**
 * Why a drawing is not drawn, or null. Elements are counted as they are drawn: one that is used a thousand times counts a thousand times,
 * and so do patterns, masks, markers and filters, however deep they use each other. Nothing is drawn for it. Needs a page.
 */
export function drawingProblem(text: string): string | null {
  if (/<!ENTITY[^>]*&[^#]/i.test(text)) return 'The drawing is not opened: its entities stand for each other.';
  const svg = new DOMParser().parseFromString(text, 'image/svg+xml');
  if (svg.querySelector('parsererror') !== null) return 'The drawing cannot be shown: the SVG file is damaged.';
  if (drawnElements(svg.documentElement) <= MOST_DRAWN) return null;
  return `The drawing has more than ${formatNumber(MOST_DRAWN, 0)} elements once all that it repeats is drawn; the page would stand still. Save the sheet as a PNG.`;
}

/** How many elements are drawn for this one; Infinity as soon as it is hopeless. */
function drawnElements(root: Element): number {
  const named = new Map([...root.querySelectorAll('[id]')].map((element) => [element.id, element]));
  const sheet = [...root.querySelectorAll('style')].map(({ textContent }) => textContent).join(' ');
  const inSheet = references(sheet);
  const known = new Map<Element, number>();
  // Without recursion: a file may nest deeper than the stack.
  const stack: { element: Element; parts: Element[]; sum: number }[] = [];
  const open = (element: Element) => {
    // What refers to itself is drawn once, as browsers do.
    known.set(element, 0);
    const used = [...references(ownReferences(element)), ...(element.hasAttribute('class') ? inSheet : [])];
    const parts = [...element.children, ...used.flatMap((id) => named.get(id) ?? [])];
    stack.push({ element, parts, sum: weight(element) });
  };
  open(root);
  for (let top = stack.at(-1); top !== undefined; top = stack.at(-1)) {
    const part = top.parts.at(-1);
    if (part === undefined) {
      known.set(top.element, top.sum);
      stack.pop();
      continue;
    }
    const sum = known.get(part);
    if (sum === undefined) {
      open(part);
      continue;
    }
    top.parts.pop();
    top.sum += sum;
    if (top.sum > MOST_DRAWN) return Number.POSITIVE_INFINITY;
  }
  return known.get(root) ?? 0;
}

function weight(element: Element): number {
  if (/^fe[A-Z]/.test(element.localName)) return FILTER_STEP;
  const { length } = element.getAttribute('d') ?? element.getAttribute('points') ?? '';
  return 1 + Math.floor(length / PATH_LENGTH);
}

function ownReferences(element: Element): string {
  const href = element.getAttribute('href') ?? element.getAttributeNS('http://www.w3.org/1999/xlink', 'href') ?? '';
  const others = [...element.attributes].filter(({ value }) => value.includes('url(')).map(({ value }) => value);
  // A link and a picture draw nothing else of the file.
  return [...(href.startsWith('#') && element.localName !== 'a' ? [`url(${href})`] : []), ...others].join(' ');
}

/** Names in 'url(#a)'. */
function references(text: string): string[] {
  return [...text.matchAll(/url\(\s*["']?#([^"')\s]+)/g)].map(([, id = '']) => id);
}
