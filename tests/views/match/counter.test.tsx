import { cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import { setBuildField } from '../../../src/build/index.ts';
import { createLuglineStore, LuglineContext, type LuglineStore, selectActiveBuild } from '../../../src/store/index.ts';
import { goalPeak, steppedGoal } from '../../../src/views/match/counter/CounterInputs.tsx';
import { MatchView } from '../../../src/views/match/index.tsx';

beforeAll(async () => {
  await import('../../../src/views/match/counter/CounterMode.tsx');
  vi.stubGlobal(
    'ResizeObserver',
    class {
      observe() {}
      disconnect() {}
      unobserve() {}
    },
  );
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(900);
  vi.spyOn(HTMLElement.prototype, 'clientHeight', 'get').mockReturnValue(700);
});

let store: LuglineStore;
let user: ReturnType<typeof userEvent.setup>;

beforeEach(async () => {
  store = createLuglineStore(demoWorkspace(), { now: () => 0 });
  user = userEvent.setup();
  render(
    <LuglineContext value={store}>
      <MatchView />
    </LuglineContext>,
  );
  await user.click(screen.getByRole('button', { name: 'Counter mode' }));
  await screen.findByRole('dialog', { name: 'Counter mode' });
});
afterEach(cleanup);

const plain = (text: string | null | undefined) => (text ?? '').replaceAll('\u00a0', ' ');
const counter = () => within(screen.getByRole('dialog', { name: 'Counter mode' }));
const curve = () => selectActiveBuild(store.getState()).goal.curves['gauge-boost'].rows;
const altitude = () => selectActiveBuild(store.getState()).air.altitude.text;

describe('counter mode', () => {
  it('has no field that takes text, and only goal, altitude, fuel and candidate to change', () => {
    expect(counter().queryAllByRole('textbox')).toEqual([]);
    expect(counter().queryAllByRole('spinbutton')).toEqual([]);
    const names = counter()
      .getAllByRole('button')
      .map((button) => plain(button.getAttribute('aria-label') ?? button.textContent));
    const expected = [
      /^Undo/,
      /^Leave/,
      /^Larger drop-in surges/,
      /^Factory size holds/,
      /^AFactory size/,
      /^BLarger drop-in/,
      /^Altitude: /,
      /^Altitude: /,
      /^Boost, /,
      /^Boost, /,
    ];
    expect(names).toHaveLength(expected.length);
    expect(names.filter((name, at) => !expected[at]!.test(name))).toEqual([]);
    expect(counter().getAllByRole('combobox')).toHaveLength(1);
  });

  it('cannot reach the page behind it', () => {
    const behind = screen.getByText('Counter mode').closest('body > *');
    expect(behind?.hasAttribute('inert')).toBe(true);
  });

  it('steps the altitude at round figures, and the numbers follow', async () => {
    const shaft = () => plain(counter().getAllByText('Shaft speed')[0]!.nextElementSibling?.textContent);
    const before = shaft();
    await user.click(counter().getByRole('button', { name: 'Altitude: more' }));
    expect(altitude()).toBe('700');
    await user.click(counter().getByRole('button', { name: 'Altitude: more' }));
    expect(altitude()).toBe('800');
    expect(shaft()).not.toBe(before);
    await user.click(counter().getByRole('button', { name: 'Altitude: less' }));
    expect(altitude()).toBe('700');
  });

  it('raises the whole goal by its peak, and as many steps back give the texts that were typed', async () => {
    const typed = curve();
    await user.click(counter().getByRole('button', { name: 'Boost, at its peak: more' }));
    expect(counter().getByText('1.45 bar')).toBeDefined();
    // 0.30 x 1.45 / 1.40 = 0.3107.
    expect(curve()[1]?.value).toBe('0.3107');
    await user.click(counter().getByRole('button', { name: 'Boost, at its peak: more' }));
    await user.click(counter().getByRole('button', { name: 'Boost, at its peak: less' }));
    await user.click(counter().getByRole('button', { name: 'Boost, at its peak: less' }));
    expect(curve()).toEqual(typed);
  });

  it('takes back what was changed here, and nothing from before', async () => {
    await user.keyboard('{Escape}');
    store.getState().run(setBuildField('air.temperature', { text: '31', unit: 'degC' }));
    await user.click(screen.getByRole('button', { name: 'Counter mode' }));
    await screen.findByRole('dialog', { name: 'Counter mode' });
    expect(counter().getByRole<HTMLButtonElement>('button', { name: 'Undo' }).disabled).toBe(true);
    await user.click(counter().getByRole('button', { name: 'Altitude: more' }));
    await user.click(counter().getByRole('button', { name: /^Undo: / }));
    expect(altitude()).toBe('620');
    expect(counter().getByRole<HTMLButtonElement>('button', { name: 'Undo' }).disabled).toBe(true);
  });

  it('works on the same build: what is changed here can be undone here and there', async () => {
    await user.selectOptions(counter().getByRole('combobox', { name: 'Fuel' }), 'e85');
    expect(selectActiveBuild(store.getState()).engine.fuel).toBe('e85');
    await user.click(counter().getByRole('button', { name: 'Undo: change fuel' }));
    expect(selectActiveBuild(store.getState()).engine.fuel).toBe('petrol');
  });

  it('shows the map of the candidate that is pressed, without changing the build', async () => {
    const before = selectActiveBuild(store.getState());
    const name = counter().getByRole('button', { name: 'B Larger drop-in' });
    await user.click(name);
    expect(name.getAttribute('aria-pressed')).toBe('true');
    for (const letter of ['A', 'B'])
      expect(counter().getByRole('region', { name: `Map of candidate ${letter}` })).toBeDefined();
    expect(selectActiveBuild(store.getState())).toBe(before);
    // The two that are compared stay those two, the one that is known first.
    expect(plain(counter().getByRole('heading', { name: /against/ }).textContent)).toContain(
      'Larger drop-in against Factory size',
    );
  });

  it('says that altitude changes nothing where the pressure was read on site', () => {
    store.getState().run(setBuildField('air.barometer.kind', 'read-on-site'));
    return waitFor(() => {
      expect(counter().getByText(/another altitude changes nothing/)).toBeDefined();
      expect(counter().getByRole<HTMLButtonElement>('button', { name: 'Altitude: more' }).disabled).toBe(true);
    });
  });

  it('is left by Escape and by its button, and gives the keyboard back', async () => {
    await user.keyboard('{Escape}');
    await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
    const button = screen.getByRole('button', { name: 'Counter mode' });
    expect(document.activeElement).toBe(button);
    expect(button.closest('[inert]')).toBeNull();
    await user.click(button);
    await screen.findByRole('dialog', { name: 'Counter mode' });
    await user.click(counter().getByRole('button', { name: /^Leave counter mode/ }));
    await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
  });
});

describe('a goal stepped by its peak', () => {
  const rows = [
    { engineSpeed: '2000', value: '0,5' },
    { engineSpeed: '3000', value: 'soon' },
    { engineSpeed: '4000', value: '1.0' },
  ];

  it('keeps what cannot be read, and reads a decimal comma', () => {
    const stepped = steppedGoal({ unit: 'bar', rows }, 'pressure-gauge', 2);
    expect(stepped.map(({ value }) => value)).toEqual(['0.55', 'soon', '1.1']);
  });

  it('gives the very rows back for no step and where nothing can be read', () => {
    expect(steppedGoal({ unit: 'bar', rows }, 'pressure-gauge', 0)).toBe(rows);
    const unread = [{ engineSpeed: '2000', value: '' }];
    expect(steppedGoal({ unit: 'bar', rows: unread }, 'pressure-gauge', 3)).toBe(unread);
    expect(goalPeak({ unit: 'bar', rows: unread }, 'pressure-gauge')).toBeNull();
  });
});
