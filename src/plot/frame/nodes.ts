import type { Selection } from 'd3';

export type Group = Selection<SVGGElement, unknown, null, undefined>;

/** Joins data to children of one tag: as many nodes as data, in the data's order. */
export function joinNodes<D, Tag extends keyof SVGElementTagNameMap>(group: Group, tag: Tag, data: readonly D[]) {
  return group
    .selectAll<SVGElementTagNameMap[Tag], D>(`:scope > ${tag}`)
    .data(data)
    .join((enter) => enter.append<SVGElementTagNameMap[Tag]>(tag as string));
}

/** The same without a selection, for what is drawn at every step of an input: `draw` is handed each node with its datum. */
export function drawNodes<D, Tag extends keyof SVGElementTagNameMap>(
  group: Group,
  tag: Tag,
  data: readonly D[],
  draw: (node: SVGElementTagNameMap[Tag], datum: D) => void,
): void {
  const parent = group.node()!;
  let node = parent.firstElementChild;
  for (const datum of data) {
    while (node !== null && node.localName !== tag) node = node.nextElementSibling;
    node ??= parent.appendChild(parent.ownerDocument.createElementNS(parent.namespaceURI!, tag) as Element);
    const next = node.nextElementSibling;
    draw(node as SVGElementTagNameMap[Tag], datum);
    node = next;
  }
  while (node !== null) {
    const next = node.nextElementSibling;
    if (node.localName === tag) node.remove();
    node = next;
  }
}

type Attributes = Readonly<Record<string, string | number | null | undefined>>;

/** What was written last into a node: asking the page for it takes as long as writing it. */
const written = new WeakMap<Element, Attributes>();

/**
 * Writes the attributes that differ from those of the call before; null takes one away. Where the same is written once more the browser
 * styles, lays out and paints again. All that is written into a node is written here, and every time the same names.
 */
export function writeAttributes(element: Element, attributes: Attributes): void {
  const before = written.get(element);
  for (const name in attributes) {
    const value = attributes[name] ?? null;
    const was = before?.[name] ?? null;
    if (value === was) continue;
    if (value === null) element.removeAttribute(name);
    else element.setAttribute(name, String(value));
  }
  written.set(element, attributes);
}

/** The text node stays: where it is replaced the browser styles its surroundings as well. */
export function writeText(element: Element, text: string): void {
  const node = element.firstChild;
  if (node === null) element.textContent = text;
  else if (node.nodeValue !== text) node.nodeValue = text;
}
