import { cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import { assignMap, setField } from '../../../src/build/index.ts';
import {
  createLuglineStore,
  LuglineContext,
  type LuglineStore,
  selectCandidateResults,
} from '../../../src/store/index.ts';
import { MatchView } from '../../../src/views/match/index.tsx';
import '../../widgets/cssEscape.ts';

beforeAll(async () => {
  await import('../../../src/views/match/candidate/CardDialog.tsx');
  vi.stubGlobal(
    'ResizeObserver',
    class {
      observe() {}
      disconnect() {}
      unobserve() {}
    },
  );
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(700);
  vi.spyOn(HTMLElement.prototype, 'clientHeight', 'get').mockReturnValue(500);
});

let store: LuglineStore;
let user: ReturnType<typeof userEvent.setup>;

beforeEach(() => {
  store = createLuglineStore(demoWorkspace(), { now: () => 0 });
  user = userEvent.setup();
  render(
    <LuglineContext value={store}>
      <MatchView />
    </LuglineContext>,
  );
});
afterEach(cleanup);

const plain = (text: string | null | undefined) => (text ?? '').replaceAll('\u00a0', ' ');
const openCard = async (letter: string) => {
  await user.click(screen.getByRole('button', { name: new RegExp(`^Card of candidate ${letter}`) }));
  return screen.findByRole('dialog', { name: `Card of candidate ${letter}` });
};
async function enter(label: string, text: string) {
  const field = screen.getByRole('spinbutton', { name: label });
  await user.clear(field);
  await user.type(field, text);
}
const derived = (title: string | RegExp, table = 0) => {
  const row = within(within(screen.getByRole('region', { name: 'What follows' })).getAllByRole('table')[table]!)
    .getByRole('rowheader', { name: title })
    .closest('tr')!;
  return within(row)
    .getAllByRole('cell')
    .map((cell) => plain(cell.textContent));
};

/** Wheels of ../shared/check-values.md: 44.6/57 mm and 47.5/62 mm, inducer/exducer (trade facts, common practice, no source). */
function measureBoth() {
  const mm = (text: string) => ({ text, unit: 'mm' });
  const { run } = store.getState();
  run(setField('candidate.wheels.compressor.inducer', mm('44.6'), 'demo-a'));
  run(setField('candidate.wheels.compressor.exducer', mm('57'), 'demo-a'));
  run(setField('candidate.wheels.compressor.inducer', mm('47.5'), 'demo-b'));
  run(setField('candidate.wheels.compressor.exducer', mm('62'), 'demo-b'));
}

describe('the candidate card', () => {
  it('gives trim and areas at once, each with what the calipers leave open', async () => {
    await openCard('A');
    await enter('Compressor inducer', '44,6');
    await enter('Compressor exducer', '57');
    // Hand calculation: trim 100 (44.6/57)^2 = 61.22; the calipers' 0.05 mm twice over each diameter gives 61.22 x 2 x (0.05/44.6 + 0.05/57)
    // = 0.24. Inducer area pi/4 44.6^2 = 1,562 mm2, of which 2 x 0.05/44.6 are 3.5.
    expect(derived('Trim')[0]).toBe('61.2 ± 0.2');
    expect(derived('Inducer area')[0]).toBe('1562 ± 4 mm²');
  });

  it('carries the calipers that were entered, not those that were assumed', async () => {
    await openCard('A');
    await enter('Compressor inducer', '44.6');
    await enter('Compressor exducer', '57');
    await enter('Calipers read to ±', '0.5');
    // Ten times the width: 2.4.
    expect(derived('Trim')[0]).toBe('61 ± 2');
  });

  it('gives tip speed and blade-pass frequency at the rated and the present speed', async () => {
    measureBoth();
    await openCard('A');
    await enter('Rated shaft speed', '172000');
    await enter('Compressor full blades', '6');
    await enter('Compressor splitters', '6');
    // Hand calculation: pi x 0.057 x 172,000 / 60 = 513.3 m/s, 0.05 mm of 57 being 0.45.
    expect(derived(/^Tip speed, rated/)[0]).toBe('513.3 ± 0.5 m/s');
    const fastest = Math.max(
      ...selectCandidateResults(store.getState(), 0)!.points.flatMap((p) =>
        p.status === 'ok' ? [p.shaftSpeedRpm] : [],
      ),
    );
    expect(derived('Blade pass there, full blades')[0]).toBe(`${(((fastest / 60) * 6) / 1000).toFixed(2)} kHz`);
    expect(derived('Blade pass there, all blades')[0]).toBe(`${(((fastest / 60) * 12) / 1000).toFixed(2)} kHz`);
  });

  it('says how much larger than the other: 13 % of inducer area, 18 % of exducer area', async () => {
    measureBoth();
    await openCard('B');
    // (47.5/44.6)^2 = 1.1343, (62/57)^2 = 1.1831: the trade facts of shared/check-values.md.
    expect(derived('Inducer area', 1)[0]).toMatch(/^\+13\.4 ± 0\.\d %$/);
    expect(derived('Exducer area', 1)[0]).toMatch(/^\+18\.3 ± 0\.\d %$/);
  });

  it('holds a claim of 17 % more flow against the wheels and the maps, in plain words', async () => {
    measureBoth();
    await openCard('B');
    await user.selectOptions(screen.getByRole('combobox', { name: 'What is claimed' }), 'More air flow');
    await enter('… than A', '17');
    const claim = () => plain(screen.getByRole('region', { name: 'Claim' }).textContent);
    expect(claim()).toContain('17 % more air flow than A: can be.');
    expect(claim()).toContain('Inducer area, by the calipers: +13.4');
    expect(claim()).toMatch(/worth \+\d+ kW at the crankshaft/);
    await enter('… than A', '90');
    expect(claim()).toContain('90 % more air flow than A: more than anything that is known here gives');
  });

  it('doubts diameters that were swapped, where they were typed', async () => {
    await openCard('A');
    await enter('Compressor inducer', '57');
    await enter('Compressor exducer', '44.6');
    expect(within(screen.getByRole('region', { name: 'Compressor wheel' })).getByRole('status').textContent).toMatch(
      /swap the two/,
    );
  });

  it('every entry is a step of undo', async () => {
    await openCard('A');
    await enter('Compressor tip height', '4.1');
    expect(store.getState().workspace.builds.demo?.candidates[0]?.wheels.compressor.tipHeight.text).toBe('4.1');
    store.getState().undo();
    expect(store.getState().workspace.builds.demo?.candidates[0]?.wheels.compressor.tipHeight.text).not.toBe('4.1');
  });
});

describe('a candidate without a map', () => {
  it('borrows the likest of the shelf with its reasons, and is an estimate wherever it stands', async () => {
    measureBoth();
    store.getState().run(assignMap('demo-b', null));
    await openCard('B');
    const donors = within(screen.getByRole('list', { name: 'Donor maps, the likest first' })).getAllByRole('listitem');
    expect(donors.length).toBe(2);
    expect(plain(donors[0]?.textContent)).toMatch(/Its wheel .* (larger|smaller|the same)/);
    await user.click(within(donors[0]!).getByRole('button', { name: /^Borrow/ }));
    const map = screen.getByRole('region', { name: 'Map' });
    expect(plain(within(map).getByRole('status').textContent)).toMatch(
      /^Estimate: .* scaled to .*±\d+ % of flow at surge/,
    );
    await user.click(screen.getByRole('button', { name: 'Done' }));
    await waitFor(() => expect(screen.queryByRole('dialog')).toBeNull());
    // The card, the map's title, its own name for a screen reader, the findings, the table and every row of it.
    const card = screen.getByRole('region', { name: 'Candidate B' });
    expect(within(card).getByText('estimate')).toBeDefined();
    await user.click(within(card).getByRole('button', { name: /notes on B/ }));
    await user.click(screen.getByRole('button', { name: 'Table' }));
    await screen.findByRole('table', { name: 'Operating points' });
    await user.click(within(card).getByRole('button', { name: /Larger drop-in/ }));
    const shown = screen.getByRole('region', { name: 'Map of candidate B' });
    expect(within(shown).getByRole('heading').textContent).toMatch(/^Estimate, scaled from/);
    expect(
      screen.getAllByRole('listitem').some((item) => /estimate, scaled from another/.test(item.textContent ?? '')),
    ).toBe(true);
    const table = screen.getByRole('table', { name: 'Operating points' });
    const rows = within(table)
      .getAllByRole('row')
      .slice(1)
      .filter((row) => within(row).getAllByRole('cell').length > 2);
    expect(rows.length).toBeGreaterThan(5);
    expect(rows.filter((row) => !/map estimated/.test(row.textContent ?? ''))).toEqual([]);
    await user.click(screen.getByRole('button', { name: 'Copy the table for a spreadsheet' }));
    expect((await navigator.clipboard.readText()).split('map estimated').length).toBeGreaterThan(5);
  });

  it('is told to measure its exducer first', async () => {
    store.getState().run(assignMap('demo-b', null));
    store.getState().run(setField('candidate.wheels.compressor.exducer', { text: '', unit: 'mm' }, 'demo-b'));
    await openCard('B');
    expect(screen.getByText(/Measure the exducer of the compressor wheel first/)).toBeDefined();
  });
});
