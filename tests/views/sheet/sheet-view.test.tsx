import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it } from 'vitest';
import { demoBuild } from '../../../src/build/demo.ts';
import { type Build, workspaceOf } from '../../../src/build/index.ts';
import { createLuglineStore, LuglineContext, selectActiveBuild } from '../../../src/store/index.ts';
import { SheetView } from '../../../src/views/sheet/index.ts';

afterEach(cleanup);

function show(build: Build = demoBuild()) {
  const store = createLuglineStore(workspaceOf([build]), { now: () => 0 });
  const shown = render(
    <LuglineContext value={store}>
      <SheetView />
    </LuglineContext>,
  );
  return { store, ...shown };
}

describe('the Sheet view', () => {
  it('prints alone while it is open, and no longer when it is left', () => {
    const { unmount } = show();
    expect(document.body.dataset.printing).toBe('match-sheet');
    unmount();
    expect(document.body.dataset.printing).toBeUndefined();
  });

  it('shows what is typed on the sheet, as one step of undo', async () => {
    const { store } = show();
    await userEvent.type(screen.getByLabelText('Shop'), 'Holm');
    expect(await screen.findByText('Holm')).toBeTruthy();
    store.getState().undo();
    expect(selectActiveBuild(store.getState()).sheet.shopName).toBe('');
  });

  it('keeps the button back while the calibration table is not there', () => {
    show();
    expect(screen.getByRole('button', { name: 'Print' })).toHaveProperty('disabled', true);
    expect(screen.getByText('The calibration table is being computed. It is not on this sheet yet.')).toBeTruthy();
  });

  it('stands without a candidate, and with one that has nothing', () => {
    const { unmount } = show({ ...demoBuild(), candidates: [] });
    expect(screen.getByText('The build has no candidate.')).toBeTruthy();
    unmount();
    const [first] = demoBuild().candidates;
    if (first === undefined) throw new Error('a candidate expected');
    show({ ...demoBuild(), candidates: [{ ...first, map: null }] });
    expect(screen.getByText('No map is chosen for this candidate.')).toBeTruthy();
  });

  it('files the sheet with the build, and takes the record away again', async () => {
    const { store } = show();
    await userEvent.click(screen.getByRole('button', { name: 'File this sheet' }));
    expect(selectActiveBuild(store.getState()).filed?.figures.length).toBeGreaterThan(300);
    expect(screen.getByText(/^Nothing has changed since/)).toBeTruthy();
    await userEvent.click(screen.getByRole('button', { name: 'Take the record away' }));
    expect(selectActiveBuild(store.getState()).filed).toBeUndefined();
  });

  it('changes the fitment list, and never lets it grow past what a sheet holds', async () => {
    const fitment = Array.from({ length: 23 }, (_, i) => ({ id: `${i}`, part: `Part ${i}`, detail: '' }));
    const { store } = show({ ...demoBuild(), fitment });
    await userEvent.click(screen.getByRole('button', { name: /^Fitment list/ }));
    const add = screen.getByRole('button', { name: 'Add a part' });
    await userEvent.click(add);
    expect(add).toHaveProperty('disabled', true);
    await userEvent.click(screen.getByRole('button', { name: 'Remove part 1' }));
    expect(selectActiveBuild(store.getState()).fitment).toHaveLength(23);
  });
});
