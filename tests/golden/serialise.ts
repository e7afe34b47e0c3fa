/*
 * What stands in the page, as lines that can be compared: words in reading order, and drawings element by element. Numbers of drawings are
 * rounded to a tenth of a pixel; generated ids are counted anew and generated class names left out, so that only what is seen or read counts.
 */

const plain = (text: string | null | undefined) =>
  (text ?? '')
    .replaceAll('\u00a0', ' ')
    .replace(/[ \t\r\n]+/g, ' ')
    .trim();

/** The words inside a control, those of its parts kept apart. */
export const seen = (element: Element): string =>
  plain(
    [...element.childNodes]
      .map((child) =>
        child instanceof Element ? (child.localName === 'svg' ? '' : ` ${seen(child)} `) : child.textContent,
      )
      .join(''),
  );

const FLOWING = /^(?:span|em|strong|b|i|small|sup|sub|a|abbr|time|code|output|u|mark|var|kbd|bdi|q|cite|br|label)$/;
const LANDMARKS: Readonly<Record<string, string>> = {
  aside: 'aside',
  header: 'header',
  main: 'main',
  nav: 'nav',
  section: 'region',
  article: 'article',
  fieldset: 'group',
};
const SPOKEN =
  /^(?:region|dialog|alertdialog|group|navigation|radiogroup|toolbar|tablist|tabpanel|status|alert|menu|application)$/;

/** The name that a screen reader says, without the contents: aria-label, what aria-labelledby points at, or the label of a field. */
export function ownName(element: Element): string {
  const label = element.getAttribute('aria-label');
  if (label !== null) return plain(label);
  const ids = element.getAttribute('aria-labelledby')?.split(/\s+/) ?? [];
  const labels = ids.map((id) => {
    const said = element.ownerDocument.getElementById(id);
    return said === null ? '' : seen(said);
  });
  if (labels.length > 0) return labels.filter((text) => text !== '').join(' ');
  if (/^(?:input|select|textarea)$/.test(element.localName)) {
    // The page's own list of labels takes jsdom a walk through the whole page for every field.
    const tied = element.id === '' ? null : element.ownerDocument.querySelector(`label[for="${element.id}"]`);
    const label = tied ?? element.closest('label');
    return label === null ? '' : seen(label);
  }
  return '';
}

function states(element: Element): string {
  const said = ['pressed', 'expanded', 'selected', 'checked', 'current', 'invalid', 'haspopup', 'busy']
    .map((name) => [name, element.getAttribute(`aria-${name}`)] as const)
    .filter(([, value]) => value !== null && value !== 'false')
    .map(([name, value]) => (value === 'true' ? name : `${name}=${value}`));
  if (element.hasAttribute('disabled') || element.getAttribute('aria-disabled') === 'true') said.push('disabled');
  return said.map((one) => ` (${one})`).join('');
}

function control(element: Element): string | null {
  if (element instanceof HTMLSelectElement) {
    const options = [...element.options].map((o) => `${o.selected ? '*' : ''}${plain(o.textContent)}`).join(' / ');
    return `[choice "${ownName(element)}": ${options}${states(element)}]`;
  }
  if (element instanceof HTMLInputElement) {
    const kind = element.getAttribute('role') ?? element.type;
    if (kind === 'hidden' || kind === 'file') return '';
    const isMark = element.type === 'radio' || element.type === 'checkbox';
    const value = isMark ? (element.checked ? 'on' : 'off') : `'${element.value}'`;
    const hint = element.placeholder === '' ? '' : ` {${plain(element.placeholder)}}`;
    return `[${kind} "${ownName(element)}": ${value}${hint}${states(element)}]`;
  }
  if (element instanceof HTMLTextAreaElement)
    return `[text "${ownName(element)}": '${element.value}'${states(element)}]`;
  const role = element.getAttribute('role') ?? element.localName;
  if (/^(?:button|tab|menuitem\w*|link|progressbar|switch)$/.test(role)) {
    const shown = seen(element);
    const name = ownName(element);
    const value = element.getAttribute('aria-valuetext') ?? element.getAttribute('aria-valuenow');
    const words = name === '' || name === shown ? `"${shown}"` : `"${name}" showing "${shown}"`;
    return `[${role} ${words}${value === null ? '' : ` = ${value}`}${tip(element)}${states(element)}]`;
  }
  return null;
}

const tip = (element: Element) => {
  const title = plain(element.getAttribute('title'));
  return title === '' ? '' : ` {${title}}`;
};

/** One sentence a line: a difference then shows the sentence, not the paragraph. */
const sentences = (text: string) => text.split(/(?<=[a-z)’"”][.!?])\s+(?=[A-Z“'])/);

/** The words below an element in reading order; tables row by row, controls with name, value and state, regions indented. */
export function wordsOf(root: Element): string {
  const lines: string[] = [];
  let buffer = '';
  let depth = 0;
  const put = (line: string) => lines.push(`${'  '.repeat(depth)}${line}`);
  const flush = (mark = '') => {
    const text = plain(buffer);
    buffer = '';
    if (text === '') return;
    for (const [i, sentence] of sentences(text).entries())
      put(`${i === 0 ? mark : ' '.repeat(mark.length)}${sentence}`);
  };
  const children = (node: Element) => {
    for (const child of node.childNodes) walk(child);
  };
  const inside = (title: string, node: Element) => {
    flush();
    put(title);
    depth += 1;
    children(node);
    flush();
    depth -= 1;
  };
  const row = (node: Element) => {
    flush();
    const cells = [...node.children].map((cell) => {
      const from = lines.length;
      const kept = depth;
      depth = 0;
      children(cell);
      flush();
      depth = kept;
      const text = lines.splice(from).join('; ');
      const isHead = cell.localName === 'th' || /header$/.test(cell.getAttribute('role') ?? '');
      return `${isHead ? '#' : ''}${text}${tip(cell)}${states(cell)}`;
    });
    put(`| ${cells.join(' | ')}${states(node)}`.trimEnd());
  };
  const walk = (node: Node) => {
    if (node.nodeType === 3) {
      buffer += node.textContent;
      return;
    }
    if (!(node instanceof Element)) return;
    const name = node.localName;
    if (/^(?:script|style|template|option)$/.test(name) || node.hasAttribute('hidden')) return;
    const said = control(node);
    if (said !== null) {
      if (said !== '') buffer += ` ${said} `;
      return;
    }
    if (name === 'svg') {
      if (isDrawing(node)) {
        flush();
        put(`drawing "${drawingName(node)}"`);
      }
      return;
    }
    if (name === 'tr' || node.getAttribute('role') === 'row') {
      row(node);
      return;
    }
    const role = node.getAttribute('role');
    const label = ownName(node);
    const landmark = LANDMARKS[name] ?? (role !== null && SPOKEN.test(role) ? role : null);
    if (name === 'table' || role === 'grid') inside(`table "${label}"`, node);
    else if (landmark !== null && (label !== '' || role !== null || name === 'main')) {
      inside(`<${role ?? landmark}${label === '' ? '' : ` "${label}"`}${states(node)}>`, node);
    } else if (/^h[1-6]$/.test(name)) {
      flush();
      children(node);
      buffer += tip(node);
      flush(`${name}: `);
    } else if (name === 'li') {
      flush();
      children(node);
      flush('- ');
    } else if (name === 'dt') {
      flush();
      children(node);
      buffer += ': ';
    } else if (name === 'dd') {
      children(node);
      flush();
    } else if (FLOWING.test(name)) {
      buffer += ' ';
      children(node);
      buffer += `${tip(node)} `;
    } else {
      flush();
      children(node);
      buffer += tip(node);
      flush();
    }
  };
  walk(root);
  flush();
  return `${lines.join('\n')}\n`;
}

/** A drawing says something; an icon only accompanies what is said. */
const isDrawing = (svg: Element) =>
  svg.closest('[aria-hidden="true"], button') === null && svg.querySelector('text, path') !== null;

function drawingName(svg: Element): string {
  const named = svg.closest('[aria-label], [aria-labelledby]');
  return (
    ownName(svg) || plain(svg.querySelector(':scope > title')?.textContent) || (named === null ? '' : ownName(named))
  );
}

const rounded = (text: string) =>
  text
    .replace(/-?\d*\.\d+(?:e[-+]?\d+)?/g, (number) => {
      const short = (Math.round(Number(number) * 10) / 10).toString();
      return short === '-0' ? '0' : short;
    })
    .replace(/\s+/g, ' ');

/** Attributes that tell nothing of the drawing: where React and the browser keep their books. */
const SILENT = /^(?:xmlns(?::\w+)?|tabindex|style)$/;
const REFERS = /^(?:id|for|href|xlink:href|aria-labelledby|aria-describedby|aria-controls)$/;
const EXACT = /^(?:opacity|[a-z]+-opacity)$/;

/** A drawing element by element, one a line. */
export function drawingOf(svg: Element): string {
  const ids = new Map<string, string>();
  const counted = (id: string) => {
    if (!ids.has(id)) ids.set(id, `id${ids.size + 1}`);
    return ids.get(id)!;
  };
  const lines: string[] = [];
  const walk = (element: Element, depth: number) => {
    const attributes = [...element.attributes]
      .map(({ name, value }): readonly [string, string] => {
        if (SILENT.test(name)) return [name, ''];
        // A class with an underscore is a style sheet's, and generated.
        if (name === 'class')
          return [
            name,
            value
              .split(/\s+/)
              .filter((one) => !one.includes('_'))
              .join(' '),
          ];
        if (REFERS.test(name)) return [name, value.replace(/[^#\s]+/g, counted)];
        if (/^aria-|^data-/.test(name)) return [name, plain(value)];
        if (EXACT.test(name)) return [name, value];
        return [name, rounded(value.replace(/url\("?#([^")]+)"?\)/g, (_, id: string) => `url(#${counted(id)})`))];
      })
      .filter(([, value]) => value !== '')
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([name, value]) => ` ${name}="${value}"`)
      .join('');
    const own = [...element.childNodes].filter((child) => child.nodeType === 3).map((child) => child.textContent);
    const text = plain(own.join(''));
    lines.push(`${' '.repeat(depth)}<${element.localName}${attributes}>${text}`);
    for (const child of element.children) walk(child, depth + 1);
  };
  walk(svg, 0);
  return lines.join('\n');
}

/** All drawings below an element, under their names. */
export function drawingsOf(root: Element): string {
  const drawings = [...root.querySelectorAll('svg')].filter(isDrawing);
  return drawings.map((svg) => `=== ${drawingName(svg)}\n${drawingOf(svg)}\n`).join('\n');
}

const COLOUR = /(?<=(fill|stroke|color|stop-color|flood-color)=")#[0-9a-f]{3,8}(?=")/g;

/** What another palette changes in drawings: every pair of colours with how often it comes, and whatever else is different. */
export function changedColours(light: string, dark: string): string {
  const other = dark.split('\n');
  const pairs = new Map<string, number>();
  const rest: string[] = [];
  for (const [i, line] of light.split('\n').entries()) {
    const now = other[i] ?? '';
    const before = [...line.matchAll(COLOUR)];
    const after = [...now.matchAll(COLOUR)];
    if (line.replace(COLOUR, '') !== now.replace(COLOUR, '')) rest.push(`- ${line}`, `+ ${now}`);
    for (const [k, match] of before.entries()) {
      const pair = `${match[1]} ${match[0]} -> ${after[k]?.[0]}`;
      pairs.set(pair, (pairs.get(pair) ?? 0) + 1);
    }
  }
  const counted = [...pairs].map(([pair, count]) => `${pair}: ${count} times`).sort();
  return [...counted, ...rest, ...other.slice(light.split('\n').length), ''].join('\n');
}

const six = (value: unknown): unknown => {
  if (typeof value === 'number') return Number.isFinite(value) ? Number(value.toPrecision(6)) : String(value);
  if (Array.isArray(value)) return value.map(six);
  if (value === null || typeof value !== 'object') return typeof value === 'function' ? undefined : value;
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, one]) => [key, six(one)]),
  );
};

/** Plain data, one short object a line. */
export function linesOf(data: unknown): string {
  const write = (value: unknown, indent: string): string => {
    const short = JSON.stringify(value);
    if (value === null || typeof value !== 'object' || short.length < 150) return short ?? 'null';
    const isFlat =
      !Array.isArray(value) && Object.values(value).every((one) => one === null || typeof one !== 'object');
    if (isFlat && indent.length > 1) return short;
    const deeper = `${indent} `;
    if (Array.isArray(value)) return `[\n${value.map((one) => deeper + write(one, deeper)).join(',\n')}\n${indent}]`;
    const rows = Object.entries(value)
      .filter(([, one]) => one !== undefined)
      .map(([key, one]) => `${deeper}${JSON.stringify(key)}: ${write(one, deeper)}`);
    return `{\n${rows.join(',\n')}\n${indent}}`;
  };
  return `${write(data, '')}\n`;
}

/** The same with numbers to six digits and keys in the order of the alphabet. */
export const numbersOf = (data: unknown): string => linesOf(six(data));

/** A record without what it is made of in its turn: its own numbers and words. */
export const ownValues = (record: object): object =>
  Object.fromEntries(Object.entries(record).filter(([, value]) => value === null || typeof value !== 'object'));
