import '../../widgets/cssEscape.ts';
import { readFileSync } from 'node:fs';
import { act, cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { createFileActions } from '../../../src/app/fileActions.ts';
import { Notices } from '../../../src/app/Notices.tsx';
import { demoWorkspace } from '../../../src/build/demo.ts';
import type { BackupKeeper } from '../../../src/storage/index.ts';
import { createLuglineStore, LuglineContext, type LuglineStore } from '../../../src/store/index.ts';
import { MapsView } from '../../../src/views/maps/index.ts';
import { drawAtFixedSize } from '../fixed-size.ts';

/** NASA HECC data archive (2023), vaned diffuser: the 92 points as they stand in the table. */
const NASA = readFileSync('tests/fixtures/nasa-hecc-vaned.csv', 'utf8');

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
  const files = createFileActions(store, {} as BackupKeeper, []);
  render(
    <LuglineContext value={store}>
      <MapsView files={files} />
      <Notices files={files} />
    </LuglineContext>,
  );
});
afterEach(() => {
  cleanup();
  expect(troubles).toEqual([]);
});

const messages = () => screen.getByRole('region', { name: 'Messages on files and storage' });
const shelf = () => screen.getByRole('navigation', { name: 'Shelf of maps' });
const openMap = () => {
  const { workspace, ui } = store.getState();
  return workspace.shelf[ui.openMapId ?? '']!;
};
const grid = () => screen.getByRole('grid');
const cell = (row: number, column: number) =>
  grid().querySelector<HTMLElement>(`td[data-row="${row}"][data-column="${column}"]`)!;
const audit = () => screen.getByRole('region', { name: 'Audit of the sheet' });
function pasteOn(target: Element, text: string) {
  fireEvent.paste(target, { clipboardData: { getData: () => text, types: ['text/plain'] } });
}
async function typeNewMap() {
  await user.click(screen.getByRole('button', { name: 'New map' }));
  await user.click(screen.getByRole('button', { name: /^Type it in/ }));
}

async function fill(row: number, column: number, text: string) {
  fireEvent.mouseDown(cell(row, column), { button: 0 });
  await user.keyboard(`${text}{Enter}`);
}

describe('the shelf', () => {
  it('lists maps with lines, flow range, limit, invented mark and the build that uses them', () => {
    const first = within(shelf()).getAllByRole('listitem')[0]!;
    expect(first.textContent).toMatch(/8 lines, 0\.05 to 0\.27 kg\/s/);
    expect(first.textContent).toMatch(/limit 172\u202f000 rpm/);
    expect(first.textContent).toMatch(/invented/);
    expect(first.textContent).toMatch(/in Demo/);
  });

  it('has the keyboard in the first cell of a map that is typed in, typing at once', async () => {
    await typeNewMap();
    await user.keyboard('90 000');
    await user.tab();
    await user.keyboard('0,05{Tab}1.42{Tab}68{Tab}0.08{Tab}1,40{Tab}70{Enter}');
    expect(openMap().name).toBe('New map');
    expect(openMap().speedLines).toEqual([
      {
        speed: '90 000',
        points: [
          { flow: '0,05', pressureRatio: '1.42', efficiency: '68' },
          { flow: '0.08', pressureRatio: '1,40', efficiency: '70' },
        ],
      },
    ]);
    expect(screen.getByText(/Not a map yet/)).toBeTruthy();
    expect(audit().textContent).toMatch(/reference temperature is still needed/);
  });

  it('renames with F2, duplicates, deletes with undo', async () => {
    const name = store.getState().workspace.shelf['demo-map-a']!.name;
    within(shelf())
      .getByRole('button', { name: new RegExp(`^${name.slice(0, 20)}`) })
      .focus();
    await user.keyboard('{F2}');
    await user.keyboard('Hill wheel{Enter}');
    expect(store.getState().workspace.shelf['demo-map-a']!.name).toBe('Hill wheel');
    const count = store.getState().workspace.shelfOrder.length;
    await user.click(screen.getByRole('button', { name: "Duplicate 'Hill wheel'" }));
    expect(store.getState().workspace.shelfOrder).toHaveLength(count + 1);
    await user.click(within(shelf()).getByRole('button', { name: /^Hill wheel\s*8 lines/ }));
    await user.click(screen.getByRole('button', { name: "Delete 'Hill wheel' from the shelf" }));
    expect(store.getState().workspace.shelf['demo-map-a']).toBeUndefined();
    expect(messages().textContent).toMatch(/'Hill wheel' is off the shelf; builds that use it keep it/);
    expect(screen.getByRole('button', { name: "Put 'Hill wheel' back on the shelf" })).toBeTruthy();
    await user.click(within(messages()).getByRole('button', { name: 'Undo' }));
    expect(screen.queryByText('In builds only')).toBeNull();
    expect(store.getState().workspace.shelf['demo-map-a']!.name).toBe('Hill wheel');
  });

  it('takes a map file; a damaged one changes nothing and says why', async () => {
    const before = store.getState().workspace;
    const input = shelf().querySelector<HTMLInputElement>('input[type=file]')!;
    await user.upload(
      input,
      new File(['{"format":"lugline-map","version":1'], 'torn.json', { type: 'application/json' }),
    );
    await waitFor(() => expect(messages().textContent).toMatch(/'torn\.json' was not opened; nothing is changed/));
    expect(store.getState().workspace).toBe(before);
    const file = {
      format: 'lugline-map',
      version: 1,
      name: 'From a friend',
      source: 'typed',
      reference: { temperatureK: 298.15, pressurePa: 100000 },
      flowUnit: 'kg/s',
      speedLines: [
        {
          speedRpm: 90000,
          points: [
            { flow: 0.05, pressureRatio: 1.42 },
            { flow: 0.09, pressureRatio: 1.3 },
          ],
        },
      ],
    };
    await user.upload(input, new File([JSON.stringify(file)], 'friend.json', { type: 'application/json' }));
    await waitFor(() => expect(openMap().name).toBe('From a friend'));
    expect(messages().textContent).toMatch(/'From a friend' is on the shelf/);
  });
});

describe("pasting NASA's table as it stands", () => {
  async function pasteNasa() {
    await typeNewMap();
    fireEvent.mouseDown(cell(0, 0), { button: 0 });
    pasteOn(cell(0, 0), NASA);
    return screen.findByRole('heading', { name: 'Paste a table of speed lines' });
  }

  it('shows what will be taken over first, and takes it in one step that undo takes back', async () => {
    await pasteNasa();
    const lines = screen.getByRole('table', { name: 'Speed lines made of it' });
    expect(
      within(lines)
        .getAllByRole('row')
        .slice(1)
        .map((r) => r.children[0]!.textContent),
    ).toEqual([
      '15\u202f253',
      '16\u202f350',
      '18\u202f506',
      '19\u202f599',
      '20\u202f694',
      '21\u202f769',
      '22\u202f872',
    ]);
    expect(screen.getByText(/Flow in lb\/s is brought to lb\/min \(times 60\)/)).toBeTruthy();
    expect(openMap().speedLines).toHaveLength(1);
    await user.click(screen.getByRole('button', { name: 'Take over 7 lines' }));
    expect(openMap().flowUnit).toBe('lb/min');
    expect(openMap().efficiencyUnit).toBe('1');
    expect(openMap().speedLines.map((l) => l.points.length)).toEqual([10, 12, 14, 13, 11, 17, 15]);
    await user.click(screen.getByRole('tab', { name: /Sheet/ }));
    await user.selectOptions(screen.getByLabelText('Common on sheets'), '15 °C, 101.325 kPa');
    await waitFor(() => expect(screen.getByText(/Fitted through 92 points/)).toBeTruthy());
    // No error, no warning: what is left says what the table does not give.
    expect(within(audit()).getByRole('heading').textContent).toMatch(/Audit 4 notes/);
    act(() => {
      store.getState().undo();
      store.getState().undo();
    });
    expect(openMap().speedLines).toHaveLength(1);
  });

  it('is left alone by Escape', async () => {
    await pasteNasa();
    await user.keyboard('{Escape}');
    expect(screen.queryByRole('heading', { name: 'Paste a table of speed lines' })).toBeNull();
    expect(openMap().speedLines).toEqual([{ speed: '', points: [{ flow: '', pressureRatio: '', efficiency: '' }] }]);
  });
});

describe('pasting elsewhere', () => {
  it('asks for the speed at 100 % when speeds are in percent', async () => {
    await user.click(screen.getByRole('button', { name: 'New map' }));
    await user.click(screen.getByRole('button', { name: /^Paste a table/ }));
    const box = screen.getByRole('textbox', { name: /Columns for speed/ });
    expect(document.activeElement).toBe(box);
    fireEvent.change(box, { target: { value: 'N %;Wc lb/min;PR\n70;10;1,5\n70;14;1,4\n100;15;2,5\n100;20;2,3' } });
    expect(screen.getByRole('alert').textContent).toMatch(/Enter the speed at 100 %/);
    expect(screen.getByRole<HTMLButtonElement>('button', { name: 'Take over' }).disabled).toBe(true);
    await user.type(screen.getByLabelText('Speed at 100 %'), '120000');
    await user.click(screen.getByRole('button', { name: 'Take over 2 lines' }));
    expect(openMap().speedLines).toEqual([
      {
        speed: '84000',
        points: [
          { flow: '10', pressureRatio: '1,5', efficiency: '' },
          { flow: '14', pressureRatio: '1,4', efficiency: '' },
        ],
      },
      {
        speed: '120000',
        points: [
          { flow: '15', pressureRatio: '2,5', efficiency: '' },
          { flow: '20', pressureRatio: '2,3', efficiency: '' },
        ],
      },
    ]);
  });

  it('columns into the points of one line, in the order of their heading', async () => {
    await typeNewMap();
    fireEvent.mouseDown(cell(0, 0), { button: 0 });
    pasteOn(cell(0, 0), 'PR\tflow\n1.42\t0.05\n1.40\t0.08');
    expect(openMap().speedLines[0]!.points).toEqual([
      { flow: '0.05', pressureRatio: '1.42', efficiency: '' },
      { flow: '0.08', pressureRatio: '1.40', efficiency: '' },
    ]);
  });

  it('the surge line, and an island added for it', async () => {
    await typeNewMap();
    await user.click(screen.getByRole('tab', { name: /Surge line/ }));
    fireEvent.mouseDown(cell(0, 0), { button: 0 });
    pasteOn(cell(0, 0), '0,04\t1,4\n0,06\t1,8');
    expect(openMap().surgeLine).toEqual([
      { flow: '0,04', pressureRatio: '1,4' },
      { flow: '0,06', pressureRatio: '1,8' },
    ]);
    await user.click(screen.getByRole('tab', { name: /Islands/ }));
    await user.click(screen.getByRole('button', { name: 'Island' }));
    await user.keyboard('74');
    await user.click(screen.getByRole('radio', { name: 'Open' }));
    fireEvent.mouseDown(cell(0, 0), { button: 0 });
    pasteOn(cell(0, 0), '0.05 1.5\n0.06 1.6\n0.07 1.6');
    expect(openMap().islands).toEqual([
      {
        efficiency: '74',
        closed: false,
        points: [
          { flow: '0.05', pressureRatio: '1.5' },
          { flow: '0.06', pressureRatio: '1.6' },
          { flow: '0.07', pressureRatio: '1.6' },
        ],
      },
    ]);
  });
});

describe('a slip in a good map', () => {
  it('is named while typing, leads to its cell, and is gone when it is put right', async () => {
    expect(within(audit()).getByRole('heading').textContent).toMatch(/Nothing doubtful found/);
    await user.click(screen.getByRole('button', { name: /^131000/ }));
    await fill(3, 1, '3.2');
    const finding = await within(audit()).findByRole('button', { name: /pressure ratio 3\.2 is out of proportion/ });
    await user.click(screen.getByRole('button', { name: /^70000/ }));
    await user.click(finding);
    const target = cell(3, 0);
    expect(screen.getByRole('grid', { name: /131000 rpm line/ })).toBeTruthy();
    expect(document.activeElement).toBe(target);
    act(() => store.getState().undo());
    await waitFor(() => expect(within(audit()).getByRole('heading').textContent).toMatch(/Nothing doubtful found/));
  });

  it('in a speed is named with the speed that fits', async () => {
    await user.click(screen.getByRole('button', { name: /^117000/ }));
    const speed = screen.getByRole('textbox', { name: 'Corrected speed, rpm' });
    await user.clear(speed);
    await user.type(speed, '171000');
    expect(
      await within(audit()).findByText(
        /171\s000 rpm of this line does not go with its pressure ratios: the other lines put it near 11[5-9]\s000 rpm/,
      ),
    ).toBeTruthy();
  });
});

describe('the table of all lines', () => {
  it('begins a line where a speed is typed and joins it again where it is cleared', async () => {
    await user.click(screen.getByRole('radio', { name: 'All in one table' }));
    expect(cell(0, 0).textContent).toBe('70000');
    expect(cell(1, 0).textContent).toBe('');
    await fill(4, 0, '78000');
    expect(
      openMap()
        .speedLines.slice(0, 3)
        .map((l) => [l.speed, l.points.length]),
    ).toEqual([
      ['70000', 4],
      ['78000', 5],
      ['86000', 9],
    ]);
    fireEvent.mouseDown(cell(4, 0), { button: 0 });
    await user.keyboard('{Delete}');
    expect(
      openMap()
        .speedLines.slice(0, 2)
        .map((l) => [l.speed, l.points.length]),
    ).toEqual([
      ['70000', 9],
      ['86000', 9],
    ]);
  });
});

describe('lines', () => {
  it('are added, sorted by speed and deleted, the chosen one staying chosen', async () => {
    await user.click(screen.getByRole('button', { name: 'Line' }));
    await user.keyboard('95000');
    await user.click(screen.getByRole('button', { name: 'Sort by speed' }));
    expect(
      openMap()
        .speedLines.map((l) => l.speed)
        .slice(0, 4),
    ).toEqual(['70000', '86000', '95000', '102000']);
    expect(screen.getByRole<HTMLInputElement>('textbox', { name: 'Corrected speed, rpm' }).value).toBe('95000');
    await user.click(screen.getByRole('button', { name: 'Delete the 95000 rpm line' }));
    expect(openMap().speedLines.map((l) => l.speed)).not.toContain('95000');
  });
});

describe('the sheet', () => {
  it('keeps flows as typed and brings efficiencies along when units change', async () => {
    await user.click(screen.getByRole('tab', { name: /Sheet/ }));
    await user.click(screen.getByRole('radio', { name: '74 (percent)' }));
    expect(openMap().speedLines[0]!.points[0]).toEqual({ flow: '0.048', pressureRatio: '1.29', efficiency: '67.5' });
    expect(openMap().islands[0]!.efficiency).toBe('55');
    await user.click(screen.getByRole('radio', { name: 'lb/min' }));
    expect(openMap().speedLines[0]!.points[0]!.flow).toBe('0.048');
    expect(await within(audit()).findByText(/is too little flow .* As kg\/s or m³\/s it would fit/)).toBeTruthy();
  });
});
