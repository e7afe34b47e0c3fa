// @vitest-environment jsdom
import { describe, expect, test } from 'vitest';
import { drawingProblem } from '../../../../src/views/maps/trace/picture/openPicture.ts';

const svg = (content: string) => `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10">${content}</svg>`;

/** Ten uses of ten uses ...: 10 to the power of `levels` shapes. */
function nested(levels: number): string {
  const level = (i: number) => `<g id="a${i}">${`<use href="#a${i - 1}"/>`.repeat(10)}</g>`;
  const defs = Array.from({ length: levels }, (_, i) => level(i + 1)).join('');
  return svg(`<defs><rect id="a0" width="1" height="1"/>${defs}</defs><use href="#a${levels}"/>`);
}

describe('drawings are weighed before they are drawn', () => {
  test('an ordinary one passes, with symbols, patterns and clips that are used many times', () => {
    const grid = Array.from({ length: 2000 }, (_, i) => `<path d="M${i} 0v9" class="a" clip-path="url(#c)"/>`).join('');
    const content = `<style>.a{stroke:url(#p)}</style><clipPath id="c"><rect/></clipPath><pattern id="p"><path d="M0 0"/></pattern>${grid}`;
    expect(drawingProblem(svg(content))).toBeNull();
    expect(drawingProblem(nested(3))).toBeNull();
  });

  test.each([
    ['uses', nested(12)],
    [
      'patterns named in a style sheet',
      svg(
        `<style>.a{fill:url(#p)}</style><pattern id="p">${'<rect/>'.repeat(400)}</pattern>${'<rect class="a"/>'.repeat(400)}`,
      ),
    ],
    ['a long path many times', svg(`<path id="a" d="M0 0${'l1 1'.repeat(50_000)}"/>${'<use href="#a"/>'.repeat(120)}`)],
    ['filters', svg(`<filter id="f">${'<feTurbulence/>'.repeat(30)}</filter>${'<rect filter="url(#f)"/>'.repeat(10)}`)],
  ])('refused: %s', (_name, text) => {
    expect(drawingProblem(text)).toMatch(/more than 100\u202f000 elements/);
  });

  test('what refers to itself ends, and entities that stand for each other are refused', () => {
    expect(drawingProblem(svg('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>'))).toBeNull();
    const entities = '<!DOCTYPE svg [<!ENTITY a "x"><!ENTITY b "&a;&a;">]>';
    expect(drawingProblem(`${entities}${svg('<text>&b;</text>')}`)).toMatch(/entities/);
  });

  test('a long chain of uses is counted to its end', () => {
    const uses = Array.from({ length: 500 }, (_, i) => `<g id="n${i + 1}"><use href="#n${i}"/></g>`).join('');
    expect(drawingProblem(svg(`<rect id="n0"/>${uses}<use href="#n500"/>`))).toMatch(/more than/);
  });
});
