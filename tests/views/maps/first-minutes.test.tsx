import '../../widgets/cssEscape.ts';
import { cleanup, fireEvent, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import { emptyMap, fitDraft, type MapDraft } from '../../../src/build/index.ts';
import { createLuglineStore, LuglineContext, type LuglineStore } from '../../../src/store/index.ts';
import { MapsView } from '../../../src/views/maps/index.ts';
import { countWords, weightOf } from '../../../src/views/maps/SheetPicture.tsx';
import { inTheWay } from '../../../src/views/maps/sheetKinds/sheetKind.ts';
import { drawAtFixedSize } from '../fixed-size.ts';

beforeAll(() => {
  // jsdom has no Blob.text().
  Blob.prototype.text = function (this: Blob) {
    return new Promise((resolve, reject) => {
      const reader = new FileReader();
      reader.onload = () => resolve(String(reader.result));
      reader.onerror = () => reject(reader.error);
      reader.readAsText(this);
    });
  };
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
      <MapsView files={{ take: () => undefined, saveMap: () => undefined }} />
    </LuglineContext>,
  );
});
afterEach(() => {
  cleanup();
  expect(troubles).toEqual([]);
});

const openMap = () => {
  const { workspace, ui } = store.getState();
  return workspace.shelf[ui.openMapId ?? '']!;
};
const grid = () => screen.getByRole('grid');
const cell = (row: number, column: number) =>
  grid().querySelector<HTMLElement>(`td[data-row="${row}"][data-column="${column}"]`)!;
function pasteOn(target: Element, text: string) {
  fireEvent.paste(target, { clipboardData: { getData: () => text, types: ['text/plain'] } });
}
async function typeNewMap() {
  await user.click(screen.getByRole('button', { name: 'New map' }));
  await user.click(screen.getByRole('button', { name: /^Type it in/ }));
}

describe('the first minutes of a map', () => {
  it('opens a new map on three doors and what is still needed, not on errors', async () => {
    await user.click(screen.getByRole('button', { name: 'New map' }));
    expect(document.activeElement).toBe(screen.getByRole('button', { name: /^Trace a picture/ }));
    expect(screen.getByRole('button', { name: /^Paste a table/ })).toBeTruthy();
    expect(screen.getByRole('region', { name: 'Still needed' }).textContent).toMatch(
      /reference state.*two speed lines/,
    );
    expect(screen.queryByRole('region', { name: 'Audit of the sheet' })).toBeNull();
    expect(screen.queryByText(/error/)).toBeNull();
  });

  it('all islands in one paste, open where their ends lie apart', async () => {
    await typeNewMap();
    await user.click(screen.getByRole('tab', { name: /Islands/ }));
    const ring = [
      [0.1, 1.5],
      [0.12, 1.7],
      [0.14, 1.5],
      [0.12, 1.4],
      [0.1, 1.5],
    ];
    const edge = [
      [0.08, 1.4],
      [0.12, 1.9],
      [0.16, 1.7],
      [0.18, 1.4],
    ];
    const rows = [...ring.map((p) => [74, ...p]), ...edge.map((p, i) => [i === 0 ? 70 : '', ...p])];
    const text = rows.map((row) => row.join('\t')).join('\n');
    pasteOn(screen.getByRole('textbox', { name: 'All islands at once' }), text);
    expect(openMap().islands.map(({ efficiency, closed, points }) => [efficiency, closed, points.length])).toEqual([
      ['74', true, 5],
      ['70', false, 4],
    ]);
  });

  it('says that a column had no place, instead of dropping it in silence', async () => {
    await typeNewMap();
    await user.click(screen.getByRole('tab', { name: /Surge line/ }));
    fireEvent.mouseDown(cell(0, 0), { button: 0 });
    pasteOn(cell(0, 0), '0.05\t1.4\t70\n0.06\t1.6\t72');
    expect(screen.getByText(/The last column had no room from here on and was left out/)).toBeTruthy();
    expect(openMap().surgeLine).toHaveLength(2);
  });

  it('records a surge line that is only the left ends of the lines as what it is', async () => {
    await typeNewMap();
    fireEvent.mouseDown(cell(0, 0), { button: 0 });
    pasteOn(cell(0, 0), '0.05\t1.42\n0.08\t1.40');
    await user.type(screen.getByRole('textbox', { name: /Corrected speed/ }), '90000');
    await user.click(screen.getByRole('tab', { name: /Surge line/ }));
    await user.click(screen.getByRole('button', { name: 'Take the left ends of the speed lines' }));
    expect(openMap().surgeLine).toEqual([{ flow: '0.05', pressureRatio: '1.42' }]);
    expect(openMap().assumed).toEqual(['The surge line was not read: it is the left ends of the speed lines.']);
  });

  it('takes speeds in krpm, told by their size or chosen', async () => {
    await user.click(screen.getByRole('button', { name: 'New map' }));
    await user.click(screen.getByRole('button', { name: /^Paste a table/ }));
    const box = screen.getByRole('textbox', { name: /Columns for speed/ });
    const table = (low: string, high: string) =>
      `N;Wc lb/min;PR\n${low};10;1.5\n${low};14;1.4\n${high};15;2.5\n${high};20;2.3`;
    fireEvent.change(box, { target: { value: table('90', '160') } });
    expect(screen.getByRole<HTMLSelectElement>('combobox', { name: 'Speed is in' }).value).toBe('krpm');
    fireEvent.change(box, { target: { value: table('70', '110') } });
    await user.selectOptions(screen.getByRole('combobox', { name: 'Speed is in' }), 'krpm');
    await user.click(screen.getByRole('button', { name: 'Take over 2 lines' }));
    expect(openMap().speedLines.map(({ speed }) => speed)).toEqual(['70000', '110000']);
  });
});

describe('the audit of a map that is begun', () => {
  it('is quiet about what is only not entered yet, and not about what cannot be read', () => {
    const points = [{ flow: '10', pressureRatio: '1.4', efficiency: '' }];
    const lines: MapDraft = { ...emptyMap('m'), speedLines: [{ speed: '90000', points }] };
    const blank = fitDraft(lines).problems;
    expect(blank.map(weightOf)).toEqual(['note', 'note']);
    expect(countWords(blank)).toBe('2 still needed');
    expect(inTheWay(blank)).toBe('2 entries are still needed, named below');
    const mistyped = { ...emptyMap('m').reference, temperature: { text: 'warm', unit: 'degC' } };
    const wrong = fitDraft({ ...lines, reference: mistyped }).problems;
    expect(wrong.map(weightOf)).toEqual(['error', 'note']);
    expect(wrong[0]?.message).toContain("cannot be read: 'warm'");
    expect(countWords(wrong)).toBe('1 still needed, 1 error');
    expect(inTheWay(wrong)).toBe('an error in the audit below');
    expect(inTheWay([])).toBeNull();
  });
});
