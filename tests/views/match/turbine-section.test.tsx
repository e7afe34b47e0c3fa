import { cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import { setBuildField, setField } from '../../../src/build/index.ts';
import {
  createLuglineStore,
  LuglineContext,
  type LuglineStore,
  selectActiveBuild,
  selectCandidateResults,
} from '../../../src/store/index.ts';
import { MatchView } from '../../../src/views/match/index.tsx';
import { drawAtFixedSize } from '../fixed-size.ts';

beforeAll(() => {
  drawAtFixedSize(600, 400);
  // What opens the card asks for it; jsdom has none.
  vi.stubGlobal('CSS', { escape: (text: string) => text });
});

let store: LuglineStore;
let user: ReturnType<typeof userEvent.setup>;
let troubles: unknown[];

beforeEach(async () => {
  store = createLuglineStore(demoWorkspace(), { now: () => 0 });
  user = userEvent.setup();
  troubles = [];
  vi.spyOn(console, 'error').mockImplementation((...said) => void troubles.push(said));
  vi.spyOn(console, 'warn').mockImplementation((...said) => void troubles.push(said));
  render(
    <LuglineContext value={store}>
      <MatchView />
    </LuglineContext>,
  );
  await user.click(screen.getByRole('button', { name: 'Turbine' }));
  await screen.findByRole('region', { name: 'Turbine' });
});
afterEach(() => {
  cleanup();
  expect(troubles).toEqual([]);
});

const plain = (text: string | null | undefined) => (text ?? '').replaceAll('\u00a0', ' ');
const section = () => screen.getByRole('region', { name: 'Turbine' });
const chart = (name: RegExp) => screen.getByRole('application', { name });
const readOut = () => within(section()).getByRole('table', { name: 'Turbine at this engine speed' });
const heading = () => plain(within(readOut()).getAllByRole('columnheader')[0]!.textContent);
const rowOf = (letter: string) =>
  within(within(readOut()).getByRole('rowheader', { name: letter }).closest('tr')!)
    .getAllByRole('cell')
    .map((cell) => plain(cell.textContent));
const candidateId = (index: number) => selectActiveBuild(store.getState()).candidates[index]!.id;
/** Where the map's cursor stands, and what the scrubber says. */
const onMap = () => [
  ...[...screen.getByRole('application', { name: /^Compressor map/ }).querySelectorAll('g.readout path')].map((path) =>
    path.getAttribute('d'),
  ),
  screen.getByRole('slider', { name: 'Engine speed' }).getAttribute('aria-valuetext'),
];

describe('the charts of the turbine', () => {
  it('stand in place of the table and give it back', async () => {
    expect(screen.queryByRole('table', { name: 'Operating points' })).toBeNull();
    expect(chart(/^Flow capacity of the turbine of A/)).toBeTruthy();
    for (const name of [/^Pressures/, /^Back-pressure ratio/, /^Wastegate flow fraction/])
      expect(chart(name)).toBeTruthy();
    await user.click(screen.getByRole('button', { name: 'Table' }));
    expect(await screen.findByRole('table', { name: 'Operating points' })).toBeTruthy();
    expect(screen.queryByRole('region', { name: 'Turbine' })).toBeNull();
  });

  it('read the solved point of the engine speed that is chosen with the keys, on the map and in the table as well', async () => {
    const before = onMap();
    chart(/^Wastegate flow fraction/).focus();
    await user.keyboard('{End}');
    const points = selectCandidateResults(store.getState(), 0)!.points;
    const last = points.at(-1)!;
    if (last.status !== 'ok') throw new Error('the demonstration build reaches its last engine speed');
    expect(heading()).toBe(
      `At ${last.engineSpeedRpm.toLocaleString('en', { useGrouping: 'min2' }).replaceAll(',', '\u202f')} rpm`,
    );
    expect(rowOf('A')[0]).toBe(`${(last.turbineInletPressurePa! / 1000).toFixed(0)} kPa`);
    expect(rowOf('A')[2]).toBe(last.expansionRatio!.toFixed(2));
    expect(rowOf('A')[3]).toBe(`${(100 * last.wastegateShare!).toFixed(1)} %`);
    expect(onMap()).not.toEqual(before);
    expect(store.getState().ui.pointerEngineSpeedRpm).toBe(last.engineSpeedRpm);
    await user.click(screen.getByRole('button', { name: 'Table' }));
    const row = (await screen.findByRole('table', { name: 'Operating points' })).querySelector('tr[aria-current]');
    expect(row?.getAttribute('data-rpm')).toBe(String(last.engineSpeedRpm));
  });

  it('show on every chart and on the map what the pointer passes over, and no longer when it has left', async () => {
    const gate = chart(/^Wastegate flow fraction/);
    const before = [heading(), onMap().join()];
    const [frame] = gate.querySelectorAll('clipPath rect');
    const x = Number(frame!.getAttribute('x')) + Number(frame!.getAttribute('width')) - 1;
    const move = (type: string) =>
      gate.dispatchEvent(new MouseEvent(type, { clientX: x, clientY: 100, bubbles: type !== 'pointerleave' }));
    move('pointermove');
    await waitFor(() => expect(heading()).not.toBe(before[0]));
    expect(onMap().join()).not.toBe(before[1]);
    const pointed = chart(/^Flow capacity/).querySelectorAll('g.pointed text')[0]!.textContent;
    expect(heading()).toBe(`At ${pointed!.split(':')[0]} rpm`);
    move('pointerleave');
    await waitFor(() => expect(heading()).toBe(before[0]));
    expect(onMap().join()).toBe(before[1]);
  });

  it('draw the limit of p3/p_m as soon as one is entered', async () => {
    const texts = () => [...chart(/^Back-pressure ratio/).querySelectorAll('text')].map((text) => text.textContent);
    expect(texts().some((text) => text?.startsWith('limit'))).toBe(false);
    store.getState().run(setBuildField('limits.backPressureRatio', { text: '1.1', unit: '1' }));
    await waitFor(() => expect(texts()).toContain('limit 1.10'));
  });

  it('take flow in lb/min, on the map as well', async () => {
    await user.selectOptions(screen.getByRole('combobox', { name: 'Unit of flow, here and on the map' }), 'lb/min');
    const titles = (name: RegExp) => [...chart(name).querySelectorAll('text')].map((text) => text.textContent);
    expect(titles(/^Flow capacity/).some((text) => text?.endsWith(', lb/min'))).toBe(true);
    expect(titles(/^Compressor map/)).toContain('Corrected air flow, lb/min');
  });

  it('say in one line that nothing is known of the turbine, and open the card', async () => {
    store.getState().run(setField('candidate.turbine.source', 'none', candidateId(0)));
    const line = await within(section()).findByText(/^No turbine data for A:/);
    expect(line.textContent).toContain('is not known');
    expect(within(section()).queryByRole('application')).toBeNull();
    await user.click(within(section()).getByRole('button', { name: 'Open the card of A' }));
    expect(store.getState().ui.openCardId).toBe(candidateId(0));
  });
});

describe('the charts of two turbines', () => {
  it('have both candidates in them, and say of which nothing is known', async () => {
    await user.click(screen.getByRole('radio', { name: 'Overlay' }));
    await screen.findByRole('application', { name: /^Flow capacity of the turbine of A and B/ });
    expect(
      within(readOut())
        .getAllByRole('rowheader')
        .map((cell) => cell.textContent),
    ).toEqual(['A', 'B']);
    const names = [...chart(/^Pressures/).querySelectorAll('g.labels text')].map((text) => text.textContent);
    expect(names).toEqual(expect.arrayContaining(['A p3', 'B p3']));
    store.getState().run(setField('candidate.turbine.source', 'none', candidateId(1)));
    await within(section()).findByText(/^No turbine data for B:/);
    expect(chart(/^Flow capacity of the turbine of A over/)).toBeTruthy();
  });
});
