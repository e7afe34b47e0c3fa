import { act, cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/index.ts';
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
const findings = () => within(screen.getByRole('list', { name: 'Findings, worst first' })).getAllByRole('listitem');
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
      .replaceAll(',', '')
      .replace('−', '-'),
  );
const readOut = (title: string) =>
  plain(within(screen.getByRole('region', { name: 'Read-out' })).getByText(title).nextElementSibling?.textContent);

async function enter(label: string, text: string) {
  const field = screen.getByRole('spinbutton', { name: label });
  await user.clear(field);
  await user.type(field, text);
}

describe('the Match view', () => {
  it('opens with two candidates side by side, each with its own headline numbers', () => {
    for (const [letter, index] of [
      ['A', 0],
      ['B', 1],
    ] as const) {
      const card = screen.getByRole('region', { name: `Candidate ${letter}` });
      const points = selectCandidateResults(store.getState(), index)!.points.filter((point) => point.status === 'ok');
      const fastest = Math.max(...points.map((point) => point.shaftSpeedRpm));
      expect(plain(card.textContent)).toContain(`${(Math.round(fastest / 10) * 10).toLocaleString('en-US')} rpm`);
    }
  });

  it('shows the shaft running faster the higher the place, and says so first once it is over its limit', async () => {
    await enter('Altitude', '0');
    const atSea = numberIn('6,500', /Shaft/);
    expect(findings().some((item) => /over its limit/.test(plain(item.textContent)))).toBe(false);
    await enter('Altitude', '2400');
    expect(numberIn('6,500', /Shaft/)).toBeGreaterThan(atSea);
    expect(plain(findings()[0]?.textContent)).toMatch(
      /^StopAt [\d,]+ rpm the shaft turns [\d,]+ rpm, [\d.]+ % over its limit of 172,000 rpm\./,
    );
  });

  it('points from a finding at its place in the table and in the read-out, and takes the mark away again', async () => {
    await enter('Altitude', '2400');
    const finding = within(findings()[0]!).getByRole('button');
    await user.click(finding);
    expect(finding.getAttribute('aria-pressed')).toBe('true');
    const speed = /^StopAt ([\d,]+) rpm/.exec(plain(finding.textContent))![1]!;
    expect(rowOf(speed).getAttribute('aria-current')).toBe('true');
    expect(screen.getByText(`At ${speed} rpm`)).toBeDefined();
    expect(readOut('Speed margin').startsWith('−')).toBe(true);
    await user.click(finding);
    expect(finding.getAttribute('aria-pressed')).toBe('false');
  });

  it('shows the other candidate on the map, in the findings and in the table', async () => {
    await user.click(screen.getByRole('button', { name: /B Larger drop-in/ }));
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
    expect(plain(screen.getByText('Pressure here').nextElementSibling?.textContent)).toBe('1,013.3 hPa');
    // ICAO Doc 7488 relation: 1013.25 hPa reduced to sea level is 845.56 hPa at 1,500 m.
    await user.selectOptions(screen.getByRole('combobox', { name: 'Pressure from' }), 'Weather report (sea level)');
    expect(plain(screen.getByText('Pressure here, from the report').nextElementSibling?.textContent)).toBe('845.6 hPa');
    expect(screen.queryByText(/looks like a weather report/)).toBeNull();
  });

  it('shows all results in the units that were chosen, and remembers them', async () => {
    const kPa = numberIn('5,000', /Boost/);
    await user.selectOptions(screen.getByRole('combobox', { name: 'Unit of pressure' }), 'psi');
    expect(column(/Boost\s*psi/)).toBeGreaterThanOrEqual(0);
    // 1 psi = 6.894757 kPa (NIST SP 811, B.8).
    expect(numberIn('5,000', /Boost/)).toBeCloseTo(kPa / 6.894757, 0);
    expect(store.getState().workspace.settings.resultUnits?.pressure).toBe('psi');
  });

  it('says in words that a candidate has no map, and leads to the maps', async () => {
    await user.click(screen.getByRole('button', { name: 'Add a candidate' }));
    expect(screen.getByRole('heading', { name: 'No map yet' })).toBeDefined();
    expect(plain(findings()[0]?.textContent)).toContain('has no map yet');
    await user.click(screen.getByRole('button', { name: /^Larger drop-in 48/ }));
    expect(screen.queryByRole('heading', { name: 'No map yet' })).toBeNull();
    expect(numberIn('5,000', /Shaft/)).toBeGreaterThan(50_000);
    act(() => store.getState().undo());
    await user.click(screen.getByRole('button', { name: 'Go to the maps' }));
    expect(store.getState().ui.view).toBe('maps');
  });

  it('keeps the last good number while a text cannot be read, and says which field', async () => {
    const before = numberIn('5,000', /Shaft/);
    await enter('Altitude', 'up there');
    await user.tab();
    expect(numberIn('5,000', /Shaft/)).toBe(before);
    expect(screen.getByRole('spinbutton', { name: 'Altitude' }).getAttribute('aria-invalid')).toBe('true');
  });

  it('walks along the line with the arrow keys of the table', async () => {
    screen.getByRole('region', { name: /Operating points, arrow keys/ }).focus();
    await user.keyboard('{Home}');
    expect(rowOf('2,000').getAttribute('aria-current')).toBe('true');
    await user.keyboard('{ArrowDown}{ArrowDown}');
    expect(rowOf('2,500').getAttribute('aria-current')).toBe('true');
    expect(plain(screen.getByText('At 2,500 rpm').textContent)).toBe('At 2,500 rpm');
  });

  it('reads any engine speed between the computed ones', async () => {
    const slider = screen.getByRole('slider', { name: 'Engine speed' });
    slider.focus();
    act(() => {
      Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!.call(slider, '5150');
      slider.dispatchEvent(new Event('input', { bubbles: true }));
    });
    expect(screen.getByText('At 5,150 rpm')).toBeDefined();
    const between = Number(readOut('Shaft speed').replace(/[^\d]/g, ''));
    expect(between).toBeGreaterThan(Math.min(numberIn('5,000', /Shaft/), numberIn('5,250', /Shaft/)) - 10);
    expect(between).toBeLessThan(Math.max(numberIn('5,000', /Shaft/), numberIn('5,250', /Shaft/)) + 10);
  });

  it('labels the speed lines with the shaft speed of the day or with the corrected speed', async () => {
    const labels = () => plain(screen.getByRole('application').textContent);
    expect(labels()).toContain('shaft speed in rpm at 29 °C inlet');
    expect(labels()).not.toContain('145,000');
    await user.selectOptions(screen.getByRole('combobox', { name: 'Speed lines are labelled in' }), 'Corrected rpm');
    expect(screen.getByText('limit 172,000 rpm shaft')).toBeDefined();
    expect(labels()).toContain('145,000');
  });

  it('copies the table for a spreadsheet', async () => {
    await user.click(screen.getByRole('button', { name: 'Copy the table for a spreadsheet' }));
    const lines = (await navigator.clipboard.readText()).trim().split('\n');
    expect(lines).toHaveLength(within(table()).getAllByRole('row').length);
    expect(lines[0]?.split('\t').slice(0, 2)).toEqual(['Engine speed [rpm]', 'Boost [kPa]']);
    expect(lines.at(-1)?.split('\t')[0]).toBe('6500');
  });
});
