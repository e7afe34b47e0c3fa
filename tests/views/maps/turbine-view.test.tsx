import '../../widgets/cssEscape.ts';
import { cleanup, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import { createLuglineStore, LuglineContext, type LuglineStore } from '../../../src/store/index.ts';
import { MapsView } from '../../../src/views/maps/index.ts';
import { drawAtFixedSize } from '../fixed-size.ts';

beforeAll(() => {
  drawAtFixedSize(700, 500);
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
      <MapsView files={{ take: () => undefined, saveMap: () => undefined }} />
    </LuglineContext>,
  );
  await user.click(screen.getByRole('button', { name: 'New turbine sheet' }));
  await user.click(screen.getByRole('button', { name: /^Type it in/ }));
});
afterEach(() => {
  cleanup();
  expect(troubles).toEqual([]);
});

const open = () => {
  const { workspace, ui } = store.getState();
  return workspace.shelf[ui.openMapId ?? '']!;
};
const audit = () => screen.getByRole('region', { name: 'Audit of the sheet' });

async function typeRow(...cells: readonly string[]) {
  for (const [i, text] of cells.entries()) {
    if (text !== '') await user.keyboard(text);
    await user.keyboard(i === cells.length - 1 ? '{Enter}' : '{Tab}');
  }
  await user.keyboard('{Home}');
}

describe('a new turbine sheet', () => {
  it('has two parts, and the keyboard is in its first point', () => {
    expect(open().kind).toBe('turbine');
    expect(screen.getAllByRole('tab').map((tab) => tab.textContent?.replace(/,.*/, ''))).toEqual(['Sheet', 'Lines']);
    const heads = within(screen.getByRole('grid')).getAllByRole('columnheader');
    expect(heads.map((head) => head.textContent?.trim()).slice(1)).toEqual([
      'Expansion ratio',
      'Flow kg/s',
      'Efficiency %',
    ]);
    expect(document.activeElement?.closest('[role="gridcell"]')?.getAttribute('data-column')).toBe('0');
  });

  it('stands on the shelf under its kind, beside the compressor maps', () => {
    const shelf = screen.getByRole('navigation', { name: 'Shelf of maps' });
    expect(within(shelf).getByRole('button', { name: /^New turbine sheet\s*empty\s*Turbine sheet/ })).toBeTruthy();
    expect(within(shelf).getAllByRole('button', { name: /Compressor map/ }).length).toBe(2);
  });

  it('is typed with or without speeds, and says nothing of what it is not asked for', async () => {
    await typeRow('1.5', '0,101', '64');
    await typeRow('2', '0.112', '');
    await user.click(screen.getByRole('tab', { name: /^Sheet/ }));
    await user.selectOptions(screen.getByLabelText('Common on sheets'), '15 °C, 101.325 kPa');
    await waitFor(() => expect(screen.getByText(/^Fitted through 2 points: \d/)).toBeTruthy());
    expect(open().speedLines[0]!.points.map((p) => [p.pressureRatio, p.flow, p.efficiency])).toEqual([
      ['1.5', '0,101', '64'],
      ['2', '0.112', ''],
    ]);
    expect(audit().textContent).not.toMatch(/surge|island|limit|wheel|speed/i);
    expect(screen.queryByText('Compressor wheel')).toBeNull();
    expect(screen.queryByRole('spinbutton', { name: 'Maximum shaft speed' })).toBeNull();
    expect(screen.getByRole('application', { name: /^Turbine sheet of New turbine sheet/ })).toBeTruthy();
  });

  it('asks for no reference state where its flow is a flow parameter, and has it again on the way back', async () => {
    await typeRow('1.5', '0.0118', '');
    expect(audit().textContent).toMatch(/reference temperature is still needed/);
    await user.click(screen.getByRole('tab', { name: /^Sheet/ }));
    await user.selectOptions(screen.getByLabelText('Common on sheets'), '25 °C, 100 kPa');
    await user.click(screen.getByRole('radio', { name: 'Flow parameter' }));
    expect(open().flowParameter).toBe('kPa');
    expect(screen.queryByLabelText('Common on sheets')).toBeNull();
    await waitFor(() => expect(screen.getByText(/^Fitted through 1 point/)).toBeTruthy());
    expect(audit().textContent).not.toMatch(/reference/);
    await user.click(screen.getByRole('radio', { name: 'bar' }));
    expect(open().flowParameter).toBe('bar');
    await user.click(screen.getByRole('radio', { name: 'Corrected flow' }));
    expect(open()).not.toHaveProperty('flowParameter');
    expect(open().reference.temperature.text).toBe('25');
    expect(open().speedLines[0]!.points[0]!.flow).toBe('0.0118');
  });

  it('lists a slip with its place and leads to its cell', async () => {
    for (const [ratio, flow] of [
      ['1.2', '0.0087'],
      ['1.5', '0.0118'],
      ['1.8', '0.0151'],
      ['2.2', '0.0141'],
      ['2.6', '0.0146'],
    ])
      await typeRow(ratio!, flow!, '');
    await user.click(screen.getByRole('tab', { name: /^Sheet/ }));
    await user.click(screen.getByRole('radio', { name: 'Flow parameter' }));
    const said = await within(audit()).findByRole('button', { name: /^warning:\s*Line 1, point 3: the flow is/ });
    await user.click(said);
    expect(screen.getByRole('tab', { name: /^Lines/ }).getAttribute('aria-selected')).toBe('true');
    await waitFor(() => {
      const at = document.activeElement?.closest<HTMLElement>('[role="gridcell"]');
      expect([at?.dataset.row, at?.dataset.column]).toEqual(['2', '1']);
    });
  });

  it('is copied as a turbine sheet and deleted with undo', async () => {
    await user.click(screen.getByRole('button', { name: "Duplicate 'New turbine sheet'" }));
    expect(open()).toMatchObject({ kind: 'turbine', name: 'New turbine sheet (2)' });
    await user.click(screen.getByRole('button', { name: "Delete 'New turbine sheet (2)' from the shelf" }));
    const { shelfOrder, shelf } = store.getState().workspace;
    expect(shelfOrder.map((id) => shelf[id]?.name)).not.toContain('New turbine sheet (2)');
    store.getState().undo();
    expect(store.getState().workspace.shelfOrder).toHaveLength(shelfOrder.length + 1);
  });
});

describe('pasting into a turbine sheet', () => {
  it('shows what will be taken in its own words, several lines with decimal commas', async () => {
    await user.click(screen.getByRole('button', { name: 'Paste a table' }));
    const text =
      'ER;Flow [lb/min];eta [%];Speed\n1,5;10,2;64;60000\n2,0;12,4;69;60000\n1,7;9,9;60;90000\n2,4;12,1;70;90000';
    await user.click(screen.getByRole('textbox', { name: /^Columns for expansion ratio and flow/ }));
    await user.paste(text);
    const lines = screen.getByRole('table', { name: 'Lines made of it' });
    expect(
      within(lines)
        .getAllByRole('row')
        .slice(1)
        .map((row) => [...row.children].map((c) => c.textContent)),
    ).toEqual([
      ['60\u202f000', '2', '10.2 to 12.4', '1.50 to 2.00'],
      ['90\u202f000', '2', '9.9 to 12.1', '1.70 to 2.40'],
    ]);
    expect(within(screen.getByLabelText('Flow is in')).queryByRole('option', { name: 'cfm' })).toBeNull();
    await user.click(screen.getByRole('button', { name: 'Take over 2 lines' }));
    expect(open()).toMatchObject({ kind: 'turbine', flowUnit: 'lb/min', efficiencyUnit: '%' });
    expect(open().speedLines.map(({ speed }) => speed)).toEqual(['60000', '90000']);
    expect(open().speedLines[0]!.points[0]).toEqual({ pressureRatio: '1,5', flow: '10,2', efficiency: '64' });
  });
});
