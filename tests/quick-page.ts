/*
 * Two answers of jsdom that queries by role and name ask for thousands of times, given without its walk through the whole page: what an
 * element's display, visibility and pointer events are, and which labels it has. Everything else goes to jsdom itself.
 * quick-page.test.tsx holds both against jsdom's own.
 */

type ComputedStyle = typeof window.getComputedStyle;

/** The one rule of jsdom's style sheet that looks at more than the element alone stands on these (`ruby > rt`). */
const BY_PARENT = new Set(['rt', 'rp']);

/** What an element's own style says of a property; '' where it says nothing. */
const inlineOf = (element: Element, name: 'display' | 'visibility' | 'pointerEvents') =>
  element.hasAttribute('style') ? (element as HTMLElement).style[name] : '';

/**
 * `getComputedStyle` of a page without style sheets: what a kind of element is by the browser's own sheet goes by its name and by four
 * attributes, and is asked of `own` once.
 */
export function quickStyles(own: ComputedStyle): ComputedStyle {
  const displays = new Map<string, string>();
  const displayOf = (element: Element): string => {
    const inline = inlineOf(element, 'display');
    if (inline !== '') return inline;
    if (BY_PARENT.has(element.localName) || element.ownerDocument.styleSheets.length > 0) return own(element).display;
    const attributes = ['hidden', 'open'].map((name) => element.hasAttribute(name));
    const kind = [element.localName, ...attributes, element.getAttribute('type')].join();
    let display = displays.get(kind);
    if (display === undefined) {
      display = own(element).display;
      displays.set(kind, display);
    }
    return display;
  };
  /** Of what children inherit: the nearest that says something, by inline style alone. */
  const inherited = (element: Element, name: 'visibility' | 'pointerEvents', initial: string): string => {
    for (let at: Element | null = element; at !== null; at = at.parentElement) {
      const inline = inlineOf(at, name);
      if (inline !== '') return inline;
    }
    return initial;
  };
  return (element, pseudo) => {
    if (pseudo !== undefined && pseudo !== null && pseudo !== '') return own(element, pseudo);
    const quick: Readonly<Record<string, () => string>> = {
      display: () => displayOf(element),
      visibility: () => inherited(element, 'visibility', 'visible'),
      pointerEvents: () => inherited(element, 'pointerEvents', 'auto'),
    };
    return new Proxy({} as CSSStyleDeclaration, {
      get(_, name) {
        const answer = quick[name as string];
        if (answer !== undefined) return answer();
        if (name === 'getPropertyValue')
          return (property: string) =>
            quick[property === 'pointer-events' ? 'pointerEvents' : property]?.() ??
            own(element).getPropertyValue(property);
        const whole = own(element);
        const value: unknown = Reflect.get(whole, name);
        return typeof value === 'function' ? value.bind(whole) : value;
      },
    });
  };
}

const LABELLED = 'button, meter, output, progress, select, textarea, input:not([type=hidden])';
/** What a label is for (HTML, 4.10.4): the first element of the id that it names, else the first in it that can have a label. */
function controlOf(label: HTMLLabelElement): Element | null {
  const id = label.getAttribute('for');
  if (id === null) return label.querySelector(LABELLED);
  const root = label.getRootNode();
  const named =
    root instanceof label.ownerDocument.defaultView!.Document
      ? root.getElementById(id)
      : [...(root as ParentNode).querySelectorAll('[id]')].find((one) => one.id === id);
  return named?.matches(LABELLED) ? named : null;
}

/** The page of a component test answers so from here on. */
export function answerQuickly(page: Window & typeof globalThis): void {
  const styles = quickStyles(page.getComputedStyle.bind(page));
  for (const home of [page, globalThis]) home.getComputedStyle = styles;
  for (const { prototype } of [
    page.HTMLInputElement,
    page.HTMLSelectElement,
    page.HTMLTextAreaElement,
    page.HTMLButtonElement,
  ]) {
    Object.defineProperty(prototype, 'labels', {
      configurable: true,
      get(this: Element) {
        return quickLabels(this);
      },
    });
  }
}

/** The labels of a control, in the order of the page; null of what can have none. */
export function quickLabels(control: Element): HTMLLabelElement[] | null {
  if (!control.matches(LABELLED)) return null;
  const root = control.getRootNode() as ParentNode;
  return [...root.querySelectorAll('label')].filter((label) => controlOf(label) === control);
}
