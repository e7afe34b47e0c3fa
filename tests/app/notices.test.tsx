import { act, cleanup, fireEvent, render, screen } from '@testing-library/react';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { FileActions } from '../../src/app/fileActions.ts';
import { Notices } from '../../src/app/Notices.tsx';
import { demoWorkspace } from '../../src/build/demo.ts';
import { createLuglineStore, LuglineContext, type LuglineStore, type Notice } from '../../src/store/index.ts';

let store: LuglineStore;

beforeEach(() => {
  vi.useFakeTimers();
  store = createLuglineStore(demoWorkspace());
  render(
    <LuglineContext value={store}>
      <Notices files={{} as FileActions} />
    </LuglineContext>,
  );
});
afterEach(() => {
  cleanup();
  vi.useRealTimers();
});

const show = (text: string, more: Partial<Notice> = {}) =>
  act(() => store.getState().notify({ tone: 'done', text, details: [], ...more }));
const shown = () => store.getState().ui.notices.map(({ text }) => text);
const region = () => screen.getByRole('region', { name: 'Messages on files and storage' });
const wait = (ms: number) => act(() => void vi.advanceTimersByTime(ms));

describe('messages', () => {
  it('are read out politely, offer Undo, and go when it was pressed', () => {
    const undo = vi.fn();
    show('The build was deleted.', { action: { name: 'Undo', run: undo } });
    expect(region().getAttribute('aria-live')).toBe('polite');
    fireEvent.click(screen.getByRole('button', { name: 'Undo' }));
    expect(undo).toHaveBeenCalledOnce();
    expect(screen.queryByText('The build was deleted.')).toBeNull();
  });

  it('stay ten seconds, twenty with an action, for ever when something went wrong', () => {
    show('Copied.');
    show('Deleted.', { action: { name: 'Undo', run: () => {} } });
    show('Storage is full.', { tone: 'trouble' });
    wait(9_900);
    expect(shown()).toEqual(['Copied.', 'Deleted.', 'Storage is full.']);
    wait(200);
    expect(shown()).toEqual(['Deleted.', 'Storage is full.']);
    wait(20_000);
    expect(shown()).toEqual(['Storage is full.']);
  });

  it('wait while the pointer is on them', () => {
    show('Copied.');
    fireEvent.pointerEnter(region());
    wait(60_000);
    expect(shown()).toHaveLength(1);
    fireEvent.pointerLeave(region());
    wait(10_100);
    expect(shown()).toHaveLength(0);
  });

  it('eight at most, a repeated one once, what went wrong last to go', () => {
    show('Storage is full.', { tone: 'trouble' });
    for (const text of ['a', 'b', 'b', 'c', 'd', 'e', 'f', 'g', 'h']) show(text);
    expect(shown()).toEqual(['Storage is full.', 'b', 'c', 'd', 'e', 'f', 'g', 'h']);
  });
});
