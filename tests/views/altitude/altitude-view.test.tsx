import { act, cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { computeAltitudes, computeSpread } from '../../../src/app/studies/computeStudies.ts';
import { demoWorkspace } from '../../../src/build/demo.ts';
import { createLuglineStore, LuglineContext, type LuglineStore, selectActiveBuild } from '../../../src/store/index.ts';
import { AltitudeView } from '../../../src/views/altitude/index.ts';
import { drawAtFixedSize } from '../fixed-size.ts';

beforeAll(() => {
  drawAtFixedSize(600, 360);
});

let store: LuglineStore;
let user: ReturnType<typeof userEvent.setup>;
let troubles: unknown[];

const known = new Map<string, ReturnType<typeof computeAltitudes>>();

/** What the worker does, at once; the same inputs, which most tests begin with, are computed once. */
function study() {
  const build = selectActiveBuild(store.getState());
  const inputs = JSON.stringify(build);
  const result = known.get(inputs) ?? computeAltitudes(build);
  known.set(inputs, result);
  const { altitude } = store.getState().studies;
  act(() => store.getState().setStudies({ altitude: { ...altitude, result: { ...result, build }, running: false } }));
}

beforeEach(() => {
  store = createLuglineStore(demoWorkspace(), { now: () => 0 });
  store.getState().setUi({ view: 'altitude' });
  user = userEvent.setup();
  troubles = [];
  vi.spyOn(console, 'error').mockImplementation((...said) => void troubles.push(said));
  vi.spyOn(console, 'warn').mockImplementation((...said) => void troubles.push(said));
  render(
    <LuglineContext value={store}>
      <AltitudeView />
    </LuglineContext>,
  );
});
afterEach(() => {
  cleanup();
  expect(troubles).toEqual([]);
});

const plain = (text: string | null | undefined) => (text ?? '').replaceAll('\u00a0', ' ');
const table = () => screen.getByRole('table', { name: /^Allowed boost/ });
const cell = (rpm: string, place: RegExp) => {
  const column = within(table())
    .getAllByRole('columnheader')
    .findIndex((header) => place.test(plain(header.textContent)));
  const row = within(table()).getByRole('rowheader', { name: rpm }).closest('tr')!;
  return within(row).getAllByRole('cell')[column - 1]!;
};
const allowed = (rpm: string, place: RegExp) => Number.parseFloat(cell(rpm, place).textContent ?? '');
const state = () =>
  plain(screen.getAllByRole('status').find((one) => /date|Computing/.test(one.textContent ?? ''))?.textContent);
const readOut = (title: string) =>
  plain(within(screen.getByRole('region', { name: 'Read-out' })).getByText(title).nextElementSibling?.textContent);

async function enter(label: string, text: string) {
  const field = screen.getByRole('spinbutton', { name: label });
  await user.clear(field);
  await user.type(field, text);
}

describe('the Altitude view', () => {
  it('says that it computes, and then shows charts, verdicts and table of one state of the inputs', () => {
    expect(state()).toBe('Computing …');
    study();
    expect(state()).toBe('Up to date with the inputs.');
    for (const name of [
      /^Ceilings of candidate A/,
      /^Which limit binds/,
      /^Shaft speed over altitude with the goal held, each/,
      /^Compressor map/,
    ]) {
      expect(screen.getByRole('application', { name })).toBeTruthy();
    }
    expect(screen.getByRole('heading', { name: /Hold this goal \(gauge boost\)/ })).toBeTruthy();
    expect(allowed('5250', /^1500 m/)).toBeGreaterThan(1);
  });

  it('lowers the allowed boost with a larger reserve, and marks the old numbers until the new ones are there', async () => {
    study();
    const before = allowed('6500', /^2500 m/);
    await enter('Shaft speed reserve', '10');
    expect(state()).toMatch(/^Computing; shown is the state before/);
    // What is stale cannot be carried off.
    expect(screen.getByRole('button', { name: /^Copy this table/ }).hasAttribute('disabled')).toBe(true);
    expect(allowed('6500', /^2500 m/)).toBe(before);
    study();
    expect(state()).toBe('Up to date with the inputs.');
    expect(allowed('6500', /^2500 m/)).toBeLessThan(before - 0.05);
    // The very same field as in the Match view, undone like any other.
    expect(selectActiveBuild(store.getState()).limits.shaftSpeedReserve.text).toBe('10');
  });

  it('links the table, the charts and the read-out', async () => {
    study();
    await user.hover(cell('4000', /^2000 m/));
    expect(store.getState().ui).toMatchObject({ pointerEngineSpeedRpm: 4000, pointerAltitudeM: 2000 });
    expect(plain(screen.getByRole('region', { name: 'Read-out' }).textContent)).toContain('at 4000 rpm and 2000 m');
    expect(readOut('Ceiling')).toContain(`${allowed('4000', /^2000 m/).toFixed(2)} bar`);
    const field = screen.getByRole('application', { name: /^Which limit binds/ });
    expect(field.querySelectorAll('.pointed path').length).toBeGreaterThan(0);
    act(() => field.focus());
    await user.keyboard('{ArrowRight}{ArrowUp}');
    expect(store.getState().ui).toMatchObject({ pointerEngineSpeedRpm: 4250, pointerAltitudeM: 2250 });
    const box = screen.getByRole('region', { name: /^Calibration table, arrow keys/ });
    act(() => box.focus());
    await user.keyboard('{ArrowDown}');
    expect(store.getState().ui.pointerEngineSpeedRpm).toBe(4500);
  });

  it('adds, changes and removes a place of its own weather, each undone', async () => {
    study();
    await user.click(screen.getByRole('button', { name: /^Saved places/ }));
    await user.click(screen.getByRole('button', { name: 'Add a place' }));
    expect(selectActiveBuild(store.getState()).places).toHaveLength(3);
    await user.click(screen.getByRole('button', { name: /^Place 1/ }));
    const name = screen.getAllByRole('textbox', { name: 'Name' }).at(-1)!;
    await user.clear(name);
    await user.type(name, 'Test track');
    study();
    expect(within(table()).getByRole('columnheader', { name: /^Test track/ })).toBeTruthy();
    await user.click(screen.getByRole('button', { name: 'Remove Test track' }));
    expect(selectActiveBuild(store.getState()).places).toHaveLength(2);
    act(() => store.getState().undo());
    expect(selectActiveBuild(store.getState()).places.at(-1)!.name).toBe('Test track');
  });

  it('writes the table in the unit and kind that the tuner works in', async () => {
    study();
    await user.click(screen.getByRole('button', { name: /^Calibration table/ }));
    await user.selectOptions(screen.getByRole('combobox', { name: 'Pressure is' }), 'Absolute');
    study();
    const absolute = screen.getByRole('table', { name: /^Allowed manifold pressure, bar absolute/ });
    expect(absolute).toBeTruthy();
    await user.selectOptions(
      screen.getByRole('combobox', { name: 'What the table shows' }),
      'Pickup frequency at the ceiling, Hz',
    );
    expect(screen.getByRole('table', { name: /^Pickup frequency at the ceiling, Hz/ })).toBeTruthy();
  });

  it('copies the table, and says so', async () => {
    study();
    await user.click(screen.getByRole('button', { name: /^Copy this table/ }));
    const copied = await navigator.clipboard.readText();
    expect(copied.split('\n')[0]).toContain('Allowed boost [bar gauge]');
    expect(await screen.findByRole('button', { name: 'Copied' })).toBeTruthy();
  });

  it('holds the print of the whole table in the page, out of sight, and takes it away with the view', () => {
    study();
    const sheet = () =>
      [...document.body.querySelectorAll('h1')].find((h) => /Calibration table/.test(h.textContent ?? ''));
    expect(sheet()).toBeTruthy();
    const printed = plain(sheet()!.parentElement!.textContent);
    expect(printed).toContain('Lugline');
    expect(printed).toMatch(/licensed practice/);
    cleanup();
    expect(sheet()).toBeUndefined();
    expect(document.body.dataset.printing).toBeUndefined();
  });

  it('asks for a spread, shows what came, and marks it when the inputs change', async () => {
    study();
    await user.click(screen.getByRole('button', { name: 'Run the spread' }));
    expect(store.getState().studies.spreadWanted).toBe(true);
    const { spread } = store.getState().studies;
    act(() => store.getState().setStudies({ spread: { ...spread, running: true, progress: 0.25 } }));
    expect(screen.getByRole('progressbar', { name: 'Share of the samples done' })).toBeTruthy();
    await user.click(screen.getByRole('button', { name: 'Cancel the spread' }));
    expect(store.getState().studies.spreadWanted).toBe(false);
    const build = selectActiveBuild(store.getState());
    const few = { ...build, spread: { ...build.spread, samples: { text: '256', unit: '1' } } };
    const result = { ...(await computeSpread(few, 0)), build };
    act(() => store.getState().setStudies({ spread: { ...spread, result, running: false } }));
    const bars = screen.getByRole('table', { name: 'What moves the shaft speed most' });
    // Eleven inputs of engine, air and map, and four of the turbine: what counts in rows, the others by name below.
    const rows = within(bars).getAllByRole('rowheader').length;
    const slight = plain(bars.nextElementSibling!.textContent).replace(/^Under half a per cent each: (.+)\.$/, '$1');
    expect([rows > 5, rows + slight.split(', ').length]).toEqual([true, 15]);
    expect(within(bars).getAllByRole('rowheader')[0]!.textContent).toBe('Volumetric efficiency');
    await enter('Compressor outlet temp.', '150');
    expect(plain(screen.getByText(/^Of other inputs/).textContent)).toMatch(/Run it again/);
  });

  it('names what stands in the way where the candidate has no map', () => {
    const build = selectActiveBuild(store.getState());
    const bare = { ...build, candidates: build.candidates.map((candidate) => ({ ...candidate, map: null })) };
    act(() => {
      const { workspace } = store.getState();
      store.getState().adopt({ ...workspace, builds: { ...workspace.builds, [build.id]: bare } }, {});
    });
    study();
    expect(screen.getByText(/Factory size has no map yet/)).toBeTruthy();
  });
});
