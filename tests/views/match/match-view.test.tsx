import { act, cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import {
  createLuglineStore,
  LuglineContext,
  type LuglineStore,
  selectCandidateResults,
} from '../../../src/store/index.ts';
import { MatchView } from '../../../src/views/match/index.tsx';
import { drawAtFixedSize } from '../fixed-size.ts';

beforeAll(() => {
  drawAtFixedSize(700, 500);
});

let store: LuglineStore;
let user: ReturnType<typeof userEvent.setup>;
let troubles: unknown[];

beforeEach(() => {
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
});
afterEach(() => {
  cleanup();
  expect(troubles).toEqual([]);
});

const plain = (text: string | null | undefined) => (text ?? '').replaceAll('\u00a0', ' ');
const findings = (letter = 'A') =>
  within(screen.getByRole('list', { name: `Findings of ${letter}, worst first` })).getAllByRole('listitem');
const table = () => screen.getByRole('table', { name: 'Operating points' });
const cells = (row: HTMLElement) => within(row).getAllByRole('cell');
const rowOf = (engineSpeed: string) => within(table()).getByRole('rowheader', { name: engineSpeed }).closest('tr')!;
const column = (name: RegExp) =>
  within(table())
    .getAllByRole('columnheader')
    .findIndex((header) => name.test(plain(header.textContent))) - 1;
const numberIn = (engineSpeed: string, name: RegExp) =>
  Number(
    plain(cells(rowOf(engineSpeed))[column(name)]?.textContent)
      .replaceAll('\u202f', '')
      .replace('−', '-'),
  );
const numberOf = (letter: string, title: string) =>
  plain(
    within(screen.getByRole('region', { name: `Candidate ${letter}` })).getByText(title).nextElementSibling
      ?.textContent,
  );
const press = (name: string | RegExp) => user.click(screen.getByRole('button', { name }));
/** Opens the drawer at the table of all points. */
async function openTable() {
  await press('Table');
  await screen.findByRole('table', { name: 'Operating points' });
}
const shownRpm = () => screen.getByRole<HTMLInputElement>('slider', { name: 'Engine speed' }).value;

async function enter(label: string, text: string) {
  const field = screen.getByRole('spinbutton', { name: label });
  await user.clear(field);
  await user.type(field, text);
}

describe('the Match view', () => {
  it('answers first: one sentence a candidate, the worst first, and pressing it goes to the place', async () => {
    const verdict = within(screen.getByRole('status', { name: 'Verdict' })).getAllByRole('button');
    const worst = selectCandidateResults(store.getState(), 1)!.findings[0]!;
    expect(worst).toMatchObject({ severity: 'stop', code: 'left-of-surge' });
    const [from, to] = worst.rangeRpm!.map((rpm) =>
      rpm.toLocaleString('en', { useGrouping: 'min2' }).replaceAll(',', '\u202f'),
    );
    expect(plain(verdict[0]?.textContent)).toBe(`Larger drop-in surges from ${from} to ${to} rpm.`);
    expect(plain(verdict[1]?.textContent)).toMatch(/^Factory size holds, with [\d.]+ % in hand to surge\.$/);
    await user.click(verdict[0]!);
    expect(store.getState().workspace.settings.shownCandidate).toBe(1);
    expect(shownRpm()).toBe(String(worst.engineSpeedRpm));
    expect(within(findings('B')[0]!).getByRole('button').getAttribute('aria-pressed')).toBe('true');
  });

  it('draws nothing of a closed drawer, and remembers which one was open', async () => {
    expect(screen.queryByRole('table', { name: 'Operating points' })).toBeNull();
    await openTable();
    expect(store.getState().workspace.settings.matchDrawer).toBe('table');
    await press('Table');
    expect(screen.queryByRole('table', { name: 'Operating points' })).toBeNull();
    expect(store.getState().workspace.settings.matchDrawer).toBe('closed');
  });

  it('opens one row of inputs at a time, each saying what it holds, the goal always there to be dragged', async () => {
    const rows = () => screen.getAllByRole('button', { expanded: true }).map((row) => plain(row.textContent));
    expect(rows()).toEqual(['Air620 m, 24 °C']);
    await press(/^Engine \d/);
    expect(rows()).toEqual(['Engine1.95 L, petrol']);
    expect(screen.getByRole('group', { name: /^Gauge boost over engine speed/ })).toBeDefined();
    expect(store.getState().workspace.settings.openInputs).toBe('Engine');
  });

  it('opens with two candidates, each with its own numbers at the engine speed of the scrubber', () => {
    for (const [letter, index] of [
      ['A', 0],
      ['B', 1],
    ] as const) {
      const point = selectCandidateResults(store.getState(), index)!.points.find(
        ({ engineSpeedRpm }) => String(engineSpeedRpm) === shownRpm(),
      );
      if (point?.status !== 'ok') throw new Error('The demonstration has a point here.');
      const rounded = Number(point.shaftSpeedRpm.toPrecision(4))
        .toLocaleString('en', { useGrouping: 'min2' })
        .replaceAll(',', '\u202f');
      expect(numberOf(letter, 'Shaft speed')).toBe(`${rounded} rpm`);
      expect(numberOf(letter, 'Wheel power')).toBe(`${Math.round(point.wheelPowerW / 1000)} kW`);
    }
  });

  it('shows the shaft running faster the higher the place, and says so first once it is over its limit', async () => {
    await openTable();
    await enter('Altitude', '0');
    const atSea = numberIn('6500', /Shaft/);
    expect(findings().some((item) => /over its limit/.test(plain(item.textContent)))).toBe(false);
    await enter('Altitude', '2400');
    expect(numberIn('6500', /Shaft/)).toBeGreaterThan(atSea);
    expect(plain(findings()[0]?.textContent)).toMatch(
      /^Stop At [\d\u202f]+ rpm the shaft turns [\d\u202f]+ rpm, [\d.]+ % over its limit of 172\u202f000 rpm\./,
    );
  });

  it.each(['one', 'side-by-side', 'overlay'] as const)(
    'writes only what changes when an input moves: %s',
    async (layout) => {
      act(() => store.getState().setUi({ matchLayout: layout }));
      await user.click(screen.getByRole('spinbutton', { name: 'Altitude' }));
      const writes: MutationRecord[] = [];
      const look = new MutationObserver((records) => void writes.push(...records));
      const watched = { attributes: true, attributeOldValue: true, characterData: true, characterDataOldValue: true };
      look.observe(document.body, { ...watched, childList: true, subtree: true });
      await user.keyboard('{ArrowUp}');
      writes.push(...look.takeRecords());
      look.disconnect();
      const wordsOf = (nodes: NodeList) => [...nodes].map(({ textContent }) => textContent).join();
      const isIdle = ({ target, type, attributeName, oldValue, addedNodes, removedNodes }: MutationRecord) => {
        if (type === 'childList') return wordsOf(addedNodes) === wordsOf(removedNodes);
        if (type === 'characterData') return target.textContent === oldValue;
        // React writes both of every input that changes.
        const isReacts = target instanceof HTMLInputElement && /^(?:name|type)$/.test(attributeName ?? '');
        return !isReacts && (target as Element).getAttribute(attributeName ?? '') === oldValue;
      };
      expect(writes.length).toBeGreaterThan(20);
      expect(writes.filter(isIdle).map(({ target, attributeName }) => [target.nodeName, attributeName])).toEqual([]);
    },
  );

  it('points from a finding at its place in the table and on the scrubber, and takes the mark away again', async () => {
    await openTable();
    await enter('Altitude', '2400');
    const finding = within(findings()[0]!).getByRole('button');
    await user.click(finding);
    expect(finding.getAttribute('aria-pressed')).toBe('true');
    const speed = /^Stop At ([\d\u202f]+) rpm/.exec(plain(finding.textContent))![1]!;
    expect(rowOf(speed).getAttribute('aria-current')).toBe('true');
    expect(screen.getByText(`A at ${speed.replace('\u202f', ' ')} rpm`)).toBeDefined();
    expect(numberOf('A', 'Speed margin').startsWith('−')).toBe(true);
    await user.click(finding);
    expect(finding.getAttribute('aria-pressed')).toBe('false');
  });

  it('shows the other candidate on the map, in the findings and in the table', async () => {
    await press(/^BLarger drop-in|^B Larger drop-in/);
    await openTable();
    expect(screen.getByRole('heading', { name: 'Operating points of B' })).toBeDefined();
    expect(screen.getByRole('application').getAttribute('aria-label')).toContain('candidate B');
    expect(screen.getByRole('button', { name: /Candidate B/ })).toBeDefined();
    expect(store.getState().workspace.settings.shownCandidate).toBe(1);
  });

  it('warns when a barometer value cannot belong to the altitude, and keeps computing', async () => {
    await enter('Altitude', '1500');
    await user.selectOptions(screen.getByRole('combobox', { name: 'Pressure from' }), 'Barometer read on site');
    await enter('Pressure on site', '1013.25');
    const air = screen.getByText(/looks like a weather report/);
    expect(air).toBeDefined();
    expect(plain(screen.getByText('Pressure here').nextElementSibling?.textContent)).toBe('1013.3 hPa');
    // ICAO Doc 7488 relation: 1013.25 hPa reduced to sea level is 845.56 hPa at 1,500 m.
    await user.selectOptions(screen.getByRole('combobox', { name: 'Pressure from' }), 'Weather report (sea level)');
    expect(plain(screen.getByText('Pressure here, from the report').nextElementSibling?.textContent)).toBe('845.6 hPa');
    expect(screen.queryByText(/looks like a weather report/)).toBeNull();
  });

  it('shows all results in the units that were chosen, and remembers them', async () => {
    await openTable();
    await press('Map and units');
    await screen.findByRole('combobox', { name: 'Unit of pressure' });
    const kPa = numberIn('5000', /Boost/);
    await user.selectOptions(screen.getByRole('combobox', { name: 'Unit of pressure' }), 'psi');
    expect(column(/Boost\s*psi/)).toBeGreaterThanOrEqual(0);
    // 1 psi = 6.894757 kPa (NIST SP 811, B.8).
    expect(numberIn('5000', /Boost/)).toBeCloseTo(kPa / 6.894757, 0);
    expect(store.getState().workspace.settings.resultUnits?.pressure).toBe('psi');
  });

  it('says in words that a candidate has no map, and leads to the maps', async () => {
    await user.click(screen.getByRole('button', { name: 'Add a candidate' }));
    expect(screen.getByRole('heading', { name: 'No map yet' })).toBeDefined();
    expect(plain(findings('C')[0]?.textContent)).toContain('has no map yet');
    expect(plain(screen.getByRole('status', { name: 'Verdict' }).textContent)).toMatch(/has no map yet\./);
    await user.click(screen.getByRole('button', { name: /^Larger drop-in 48/ }));
    expect(screen.queryByRole('heading', { name: 'No map yet' })).toBeNull();
    await openTable();
    expect(numberIn('5000', /Shaft/)).toBeGreaterThan(50_000);
    act(() => store.getState().undo());
    await user.click(screen.getByRole('button', { name: 'Go to the maps' }));
    expect(store.getState().ui.view).toBe('maps');
  });

  it('keeps the last good number while a text cannot be read, and says which field', async () => {
    await openTable();
    const before = numberIn('5000', /Shaft/);
    await enter('Altitude', 'up there');
    await user.tab();
    expect(numberIn('5000', /Shaft/)).toBe(before);
    expect(screen.getByRole('spinbutton', { name: 'Altitude' }).getAttribute('aria-invalid')).toBe('true');
  });

  it('walks along the line with the arrow keys of the table', async () => {
    await openTable();
    screen.getByRole('region', { name: /Operating points, arrow keys/ }).focus();
    await user.keyboard('{Home}');
    expect(rowOf('2000').getAttribute('aria-current')).toBe('true');
    await user.keyboard('{ArrowDown}{ArrowDown}');
    expect(rowOf('2500').getAttribute('aria-current')).toBe('true');
    expect(plain(screen.getByText('A at 2500 rpm').textContent)).toBe('A at 2500 rpm');
  });

  it('reads any engine speed between the computed ones', async () => {
    await openTable();
    const slider = screen.getByRole('slider', { name: 'Engine speed' });
    slider.focus();
    act(() => {
      Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!.call(slider, '5150');
      slider.dispatchEvent(new Event('input', { bubbles: true }));
    });
    expect(screen.getByText('A at 5150 rpm')).toBeDefined();
    const between = Number(numberOf('A', 'Shaft speed').replace(/[^\d]/g, ''));
    expect(between).toBeGreaterThan(Math.min(numberIn('5000', /Shaft/), numberIn('5250', /Shaft/)) - 10);
    expect(between).toBeLessThan(Math.max(numberIn('5000', /Shaft/), numberIn('5250', /Shaft/)) + 10);
  });

  it('labels the speed lines with the shaft speed of the day or with the corrected speed', async () => {
    const labels = () => plain(screen.getByRole('application').textContent);
    await press('Key');
    const key = await screen.findByRole('img', { name: 'What the lines are' });
    expect(plain(key.textContent)).toMatch(/shaft speed in rpm at 29 °C\s*inlet/);
    expect(labels()).not.toContain('145\u202f000');
    await press('Map and units');
    await screen.findByRole('combobox', { name: 'Speed lines are labelled in' });
    await user.selectOptions(screen.getByRole('combobox', { name: 'Speed lines are labelled in' }), 'Corrected rpm');
    expect(screen.getByText('limit 172 000 rpm shaft')).toBeDefined();
    expect(labels()).toContain('145\u202f000');
  });

  it('copies the table for a spreadsheet', async () => {
    await openTable();
    await user.click(screen.getByRole('button', { name: 'Copy the table for a spreadsheet' }));
    const lines = (await navigator.clipboard.readText()).trim().split('\n');
    expect(lines).toHaveLength(within(table()).getAllByRole('row').length);
    expect(lines[0]?.split('\t').slice(0, 2)).toEqual(['Engine speed [rpm]', 'Boost [kPa]']);
    expect(lines.at(-1)?.split('\t')[0]).toBe('6500');
  });
});
