import { describe, expect, it } from 'vitest';
import { generator } from './match/random-builds.ts';
import { quickLabels, quickStyles } from './quick-page.ts';

/* Against jsdom's own answers, which a frame still gives, on pages made at random of what the rules of a browser's own sheet look at. */

const TAGS =
  'div span p label input input input select option textarea button ul li dl dt dd table tbody tr td th details summary dialog fieldset legend h2 ruby rt rp progress meter output svg g title template a b'.split(
    ' ',
  );
const ATTRIBUTES: Readonly<Record<string, readonly string[]>> = {
  hidden: ['', 'until-found'],
  open: [''],
  type: ['text', 'hidden', 'radio', 'checkbox', 'button', 'HIDDEN'],
  id: ['one', 'two', 'a.b'],
  for: ['one', 'two', 'a.b', 'none', ''],
  style: ['display: none', 'display: flex; visibility: hidden', 'visibility: visible', 'pointer-events: none'],
};

function randomPage(seed: number): Document {
  const frame = document.createElement('iframe');
  document.body.append(frame);
  const page = frame.contentDocument!;
  const random = generator(seed);
  const pick = <T,>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
  page.body.innerHTML = '<label for="sure">a</label><label>b <input id="sure"></label>';
  const all: Element[] = [page.body];
  for (let i = 0; i < 120; i += 1) {
    const tag = pick(TAGS);
    const element =
      tag === 'svg' || tag === 'g' ? page.createElementNS('http://www.w3.org/2000/svg', tag) : page.createElement(tag);
    for (const [name, values] of Object.entries(ATTRIBUTES))
      if (random() < 0.15) element.setAttribute(name, pick(values));
    pick(all.slice(-12)).append(element);
    all.push(element);
  }
  return page;
}

describe('the quick answers of the page of component tests are those of jsdom', () => {
  it.each([1, 2, 3, 4, 5, 6])('on random page %i', (seed) => {
    const page = randomPage(seed);
    const own = page.defaultView!.getComputedStyle.bind(page.defaultView);
    const quick = quickStyles(own);
    const elements = [...page.querySelectorAll('*')];
    expect(elements.length).toBeGreaterThan(100);
    // Twice: the second time what is remembered, after a change.
    for (const turn of [1, 2]) {
      for (const element of elements) {
        const [answer, right] = [quick(element), own(element)];
        const seen = [answer.display, answer.visibility, answer.pointerEvents, answer.getPropertyValue('display')];
        expect([turn, element.outerHTML.slice(0, 200), ...seen]).toEqual([
          turn,
          element.outerHTML.slice(0, 200),
          right.display,
          right.visibility,
          right.pointerEvents,
          right.display,
        ]);
        expect(answer.getPropertyValue('visibility')).toBe(right.visibility);
        expect(answer.getPropertyValue('pointer-events')).toBe(right.pointerEvents);
        expect(answer.color).toBe(right.color);
        const labels = quickLabels(element);
        if (!('labels' in element)) continue;
        expect(labels).toEqual(element.labels === null ? null : [...(element as HTMLInputElement).labels!]);
      }
      for (const element of elements.filter((_, i) => i % 7 === turn)) element.toggleAttribute('hidden');
      for (const element of elements.filter((_, i) => i % 11 === turn)) element.removeAttribute('style');
    }
    expect(elements.some((element) => (quickLabels(element)?.length ?? 0) > 1)).toBe(true);
  });
});
