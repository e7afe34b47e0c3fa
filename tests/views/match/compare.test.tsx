import { act, cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import { addCandidate, assignMap, editMap, setField } from '../../../src/build/index.ts';
import {
  createLuglineStore,
  LuglineContext,
  type LuglineStore,
  selectActiveBuild,
  selectCandidateResults,
  selectComparison,
} from '../../../src/store/index.ts';
import { REST_MS } from '../../../src/views/match/drawer/DifferencePanels.tsx';
import { MatchView } from '../../../src/views/match/index.tsx';
import { drawAtFixedSize } from '../fixed-size.ts';

beforeAll(async () => {
  // The part that the page fetches when it has nothing else to do.
  await import('../../../src/views/match/drawer/DifferencePanels.tsx');
  drawAtFixedSize(700, 500);
});

let store: LuglineStore;
let user: ReturnType<typeof userEvent.setup>;

async function compare(layout: 'Side by side' | 'Overlay' = 'Side by side') {
  render(
    <LuglineContext value={store}>
      <MatchView />
    </LuglineContext>,
  );
  await user.click(screen.getByRole('radio', { name: layout }));
  await user.click(screen.getByRole('button', { name: 'Differences' }));
  await screen.findByText(/^Differences that matter$|^One of the two has no operating line yet/);
}

beforeEach(() => {
  store = createLuglineStore(demoWorkspace(), { now: () => 0 });
  user = userEvent.setup();
});
afterEach(cleanup);

const plain = (text: string | null | undefined) => (text ?? '').replaceAll('\u00a0', ' ');
/** A number of a candidate at the engine speed of the scrubber. */
const read = (letter: string, title: string) =>
  plain(
    within(screen.getByRole('region', { name: `Candidate ${letter}` })).getByText(title).nextElementSibling
      ?.textContent,
  );
const numberOf = (text: string | undefined) =>
  Number.parseFloat((text ?? '').replaceAll('\u202f', '').replace('−', '-'));
const difference = (title: string) => {
  const table = within(screen.getByRole('region', { name: 'Differences' })).getByRole('table');
  const row = within(table).getByRole('rowheader', { name: title }).closest('tr')!;
  return within(row)
    .getAllByRole('cell')
    .map((cell) => plain(cell.textContent));
};
/** Text of the flow axis's ticks in pixels from the left: equal axes have equal ones. */
const ticks = (region: string) =>
  [...screen.getByRole('region', { name: region }).querySelectorAll('g.axes text')].map(
    (text) =>
      `${text.textContent} ${text.getAttribute('transform') ?? text.getAttribute('x')} ${text.getAttribute('y')}`,
  );

async function walkTo(engineSpeedRpm: string) {
  const slider = screen.getByRole('slider', { name: 'Engine speed' });
  act(() => {
    const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!;
    set.call(slider, engineSpeedRpm);
    slider.dispatchEvent(new Event('input', { bubbles: true }));
  });
}

describe('two candidates side by side', () => {
  it('stand on equal axes, whatever their own maps would take', async () => {
    await compare();
    const [a, b] = [ticks('Map of candidate A'), ticks('Map of candidate B')];
    expect(a.length).toBeGreaterThan(8);
    expect(b).toEqual(a);
  });

  it('are both read at one engine speed, and the numbers are those of each one alone', async () => {
    await compare();
    await walkTo('5000');
    expect(screen.getByText(/^A at 5000/)).toBeDefined();
    for (const [letter, index] of [
      ['A', 0],
      ['B', 1],
    ] as const) {
      const point = selectCandidateResults(store.getState(), index)!.points.find((p) => p.engineSpeedRpm === 5000);
      if (point?.status !== 'ok') throw new Error('The demonstration has a point here.');
      expect(numberOf(read(letter, 'Shaft speed'))).toBe(Number(point.shaftSpeedRpm.toPrecision(4)));
      expect(numberOf(read(letter, 'Surge margin'))).toBeCloseTo(100 * point.surgeMargin!, 1);
      expect(numberOf(read(letter, 'Wheel power'))).toBe(Math.round(point.wheelPowerW / 1000));
    }
  });

  it('read between the computed engine speeds too', async () => {
    await compare();
    await walkTo('5150');
    const at = (letter: string) => numberOf(read(letter, 'Shaft speed'));
    const [between, other] = [at('A'), at('B')];
    await walkTo('5250');
    expect(between).toBeLessThan(at('A'));
    expect(other).toBeLessThan(at('B'));
  });

  it('better and worse are said by sign and word, and follow an input', async () => {
    await compare();
    const before = difference('Least speed margin');
    expect(before[3]).toBe('better');
    const row = selectComparison(store.getState(), 0, 1, false)!.comparison!.rows.find(
      (r) => r.key === 'speed-margin',
    )!;
    expect(numberOf(before[2]?.replace(/[+ a-z]/g, ''))).toBeCloseTo(100 * row.difference!, 1);
    expect(difference('Least surge margin')[3]).toBe('worse');
    const altitude = screen.getByRole('spinbutton', { name: 'Altitude' });
    await user.clear(altitude);
    await user.type(altitude, '2400');
    expect(difference('Least speed margin')).not.toEqual(before);
  });

  it('what takes longer than a frame keeps its row, and comes when the inputs rest', async () => {
    // The rest is over when the test says so: a slow machine would need longer than that to open the comparison.
    const { setTimeout: real } = globalThis;
    const rests: (() => void)[] = [];
    vi.spyOn(globalThis, 'setTimeout').mockImplementation(((work: () => void, ms?: number) =>
      ms === REST_MS ? rests.push(work) : real(work, ms)) as typeof setTimeout);
    await compare();
    expect(difference('Crank power at the ceiling')[3]).toBe('computing');
    vi.mocked(setTimeout).mockRestore();
    act(() => rests.at(-1)!());
    await waitFor(() => expect(difference('Crank power at the ceiling')[3]).toMatch(/better|worse|no difference/));
    // No study over altitude runs here: its row waits, and says so.
    expect(difference('Holds the goal up to')[3]).toBe('computing');
  });

  it('a customer reads what is gained, what it costs and what to watch', async () => {
    await compare();
    const words = plain(screen.getByRole('region', { name: 'In plain words' }).textContent);
    expect(words).toContain('Larger drop-in against Factory size');
    expect(words).toMatch(/What is gained.*More in hand to the shaft's limit: [\d.]+ % against [\d.]+ %/);
    expect(words).toMatch(/What it costs.*surge/);
    expect(words).toMatch(/What to watch with Larger drop-in.*Stop/);
  });

  it('two of more than two are chosen; each keeps its letter and look, whichever stands beside it', async () => {
    store.getState().run(addCandidate('third', 'Third one'));
    store.getState().run(assignMap('third', 'demo-map-a'));
    await compare();
    const lineOf = (letter: string) =>
      screen
        .getByRole('region', { name: `Map of candidate ${letter}` })
        .querySelector('g.operating-lines path[stroke-width="2.4"]')!;
    const looks = (letter: string) => ['stroke', 'stroke-dasharray'].map((name) => lineOf(letter).getAttribute(name));
    const [a, b] = [looks('A'), looks('B')];
    await user.click(screen.getByRole('button', { name: 'C Third one' }));
    expect(screen.queryByRole('region', { name: 'Map of candidate B' })).toBeNull();
    const c = looks('C');
    expect(looks('A')).toEqual(a);
    await user.click(screen.getByRole('button', { name: 'B Larger drop-in' }));
    expect(screen.queryByRole('region', { name: 'Map of candidate A' })).toBeNull();
    expect(looks('C')).toEqual(c);
    expect(looks('B')).toEqual(b);
    expect(new Set([a, b, c].map(String)).size).toBe(3);
  });

  it('says what is missing where one has no map, and still shows the other', async () => {
    store.getState().run(assignMap('demo-b', null));
    await compare();
    expect(within(screen.getByRole('region', { name: 'Map of candidate B' })).getByText('No map yet')).toBeDefined();
    expect(ticks('Map of candidate A').length).toBeGreaterThan(8);
    expect(screen.getByText(/One of the two has no operating line yet/)).toBeDefined();
  });
});

describe('two maps in one drawing', () => {
  it('are told apart by dash and by name, with both operating lines', async () => {
    await compare('Overlay');
    const drawing = screen.getByRole('application', { name: /one over the other/ });
    const texts = [...drawing.querySelectorAll('text')].map((text) => text.textContent);
    expect(texts).toContain('surge line A');
    expect(texts).toContain('surge line B');
    const second = [...drawing.querySelectorAll('g.second-surface path')];
    expect(second.filter((path) => path.getAttribute('stroke-dasharray') === null)).toEqual([]);
    expect(drawing.querySelectorAll('g.operating-lines path').length).toBeGreaterThan(4);
  });

  it('are brought to one reference state: the same map of another reference falls on itself', async () => {
    // B is A's own map, its sheet rewritten for 15 °C and 101.325 kPa. Corrected speed goes with the root of the reference temperature,
    // corrected flow with the reference pressure over that root (delta and theta: NASA TM X-71633).
    const root = Math.sqrt(288.15 / 298.15);
    const times = (text: string, factor: number) => (text.trim() === '' ? text : String(Number(text) * factor));
    const a = store.getState().workspace.shelf['demo-map-a']!;
    expect([a.reference.temperature.text, a.reference.pressure.text, a.flowUnit]).toEqual(['298.15', '100000', 'kg/s']);
    const moved = <P extends { flow: string }>(place: P): P => ({ ...place, flow: times(place.flow, 1.01325 / root) });
    store.getState().run(
      editMap('demo-map-b', (draft) => ({
        ...a,
        id: draft.id,
        name: draft.name,
        reference: { temperature: { text: '288.15', unit: 'K' }, pressure: { text: '101.325', unit: 'kPa' } },
        speedLines: a.speedLines.map((line) => ({ speed: times(line.speed, root), points: line.points.map(moved) })),
        surgeLine: a.surgeLine.map(moved),
        islands: a.islands.map((island) => ({ ...island, points: island.points.map(moved) })),
      })),
    );
    // Only the maps are compared: their turbines differ, and with them the flow.
    for (const { id } of selectActiveBuild(store.getState()).candidates) {
      store.getState().run(setField('candidate.turbine.source', 'none', id));
    }
    await compare('Overlay');
    await walkTo('5000');
    // The two cursors, each where its candidate stands on the map, in pixels.
    const [first, second] = [...document.querySelectorAll('g.places path')].map((mark) =>
      (mark.getAttribute('d') ?? '').slice(1).split(/[,a]/).slice(0, 2).map(Number),
    );
    expect(first![0]).toBeGreaterThan(150);
    expect(Math.abs(first![0]! - second![0]!)).toBeLessThan(1);
    expect(Math.abs(first![1]! - second![1]!)).toBeLessThan(1);
    const shafts = ['A', 'B'].map((letter) => numberOf(read(letter, 'Shaft speed')));
    expect(Math.abs(shafts[0]! / shafts[1]! - 1)).toBeLessThan(0.003);
  });
});
