import { act, cleanup, fireEvent, render, screen, waitFor } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { useState } from 'react';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { DropTarget, ErrorBoundary, useHistoryShortcuts } from '../../src/app/App.tsx';
import { RenameDialog } from '../../src/app/dialogs.tsx';
import type { FileActions } from '../../src/app/fileActions.ts';
import { Header } from '../../src/app/Header.tsx';
import { Notices } from '../../src/app/Notices.tsx';
import { demoWorkspace } from '../../src/build/demo.ts';
import { setBuildField } from '../../src/build/index.ts';
import {
  createLuglineStore,
  LuglineContext,
  type LuglineStore,
  selectActiveBuild,
  useActions,
} from '../../src/store/index.ts';
import '../widgets/cssEscape.ts';

const fakeFiles = (): FileActions => ({
  open: vi.fn(),
  take: vi.fn(),
  saveBuild: vi.fn(),
  saveMap: vi.fn(),
  saveBackup: vi.fn(),
  openDemo: vi.fn(),
  confirmRestore: vi.fn(),
  cancelRestore: vi.fn(),
  saveUnreadable: vi.fn(),
  keepFile: vi.fn(),
  allowKeptFile: vi.fn(),
  forgetKeptFile: vi.fn(),
});

function Shell({ files }: { files: FileActions }) {
  const { undo, redo } = useActions();
  const [isRenaming, setRenaming] = useState(false);
  useHistoryShortcuts(undo, redo);
  return (
    <>
      <Header files={files} onRename={() => setRenaming(true)} onDelete={() => undefined} />
      <Notices files={files} />
      {isRenaming && <RenameDialog onClose={() => setRenaming(false)} />}
    </>
  );
}

let store: LuglineStore;
let files: FileActions;
let user: ReturnType<typeof userEvent.setup>;

beforeEach(() => {
  store = createLuglineStore(demoWorkspace());
  files = fakeFiles();
  user = userEvent.setup();
});
afterEach(cleanup);

const open = () =>
  render(
    <LuglineContext value={store}>
      <Shell files={files} />
    </LuglineContext>,
  );
const altitude = () => selectActiveBuild(store.getState()).air.altitude.text;
const setAltitude = (text: string) =>
  act(() => store.getState().run(setBuildField('air.altitude', { text, unit: 'm' })));

describe('the header', () => {
  it('marks the demonstration build as invented and opens the list of builds with the keyboard alone', async () => {
    open();
    const button = screen.getByRole('button', { name: /^Build: Demo/ });
    expect(button.textContent).toContain('invented');
    button.focus();
    await user.keyboard('{ArrowDown}');
    const current = await screen.findByRole('menuitemradio', { name: /^Demo/, checked: true });
    expect(document.activeElement).toBe(current);
    await user.keyboard('n');
    expect(document.activeElement).toBe(screen.getByRole('menuitem', { name: 'New build…' }));
    await user.keyboard('{Enter}');
    expect(screen.queryByRole('menu')).toBeNull();
    await user.click(await screen.findByRole('button', { name: 'Start' }));
    await waitFor(() => expect(document.activeElement).toBe(button));
    expect(selectActiveBuild(store.getState()).name).toBe('New build');
  });

  it('offers the units of the region once, and brings the build into them', async () => {
    open();
    act(() => store.getState().notify({ tone: 'done', text: 'Metric.', details: [], offersUnits: 'us' }));
    await user.click(screen.getByRole('button', { name: 'Use US units' }));
    expect(selectActiveBuild(store.getState()).air.altitude).toEqual({ text: '2034', unit: 'ft' });
    expect(screen.queryByText('Metric.')).toBeNull();
    act(() => store.getState().undo());
    expect(altitude()).toBe('620');
  });

  it('renames, duplicates and hands files over', async () => {
    open();
    const choose = async (name: string) => {
      await user.click(screen.getByRole('button', { name: /^Build:/ }));
      await user.click(await screen.findByRole('menuitem', { name }));
    };
    await choose('Rename…');
    const name = screen.getByRole('textbox', { name: 'Name' });
    await user.clear(name);
    expect(screen.getByText('A build needs a name.')).toBeDefined();
    await user.type(name, 'Orchard wagon{Enter}');
    expect(selectActiveBuild(store.getState()).name).toBe('Orchard wagon');
    await choose('Duplicate');
    expect(store.getState().workspace.buildOrder).toHaveLength(2);
    await choose('Save as a build file');
    expect(files.saveBuild).toHaveBeenCalledOnce();
    await choose('Open a file…');
    expect(files.open).toHaveBeenCalledOnce();
  });

  it('undoes and redoes by button and by keys, in the words of the step', async () => {
    open();
    expect(screen.getByRole('button', { name: 'Nothing to undo' })).toHaveProperty('disabled', true);
    const before = altitude();
    setAltitude('1500');
    await user.click(screen.getByRole('button', { name: /^Undo: change altitude/ }));
    expect(altitude()).toBe(before);
    await user.keyboard('{Control>}{Shift>}z{/Shift}{/Control}');
    expect(altitude()).toBe('1500');
    await user.keyboard('{Control>}z{/Control}');
    expect(altitude()).toBe(before);
    await user.keyboard('{Control>}y{/Control}');
    expect(altitude()).toBe('1500');
  });

  it('leaves the keys of a dialog to its own text', async () => {
    open();
    setAltitude('1500');
    await user.click(screen.getByRole('button', { name: /^Build:/ }));
    await user.click(await screen.findByRole('menuitem', { name: 'Rename…' }));
    await user.keyboard('{Control>}z{/Control}');
    expect(altitude()).toBe('1500');
  });

  it('says where the data lives and offers the file of everything', async () => {
    open();
    await user.click(screen.getByRole('button', { name: /^Your data:/ }));
    expect(await screen.findByText(/on this machine. Nothing is sent anywhere/)).toBeDefined();
    await user.click(screen.getByRole('button', { name: 'Save a backup of everything' }));
    expect(files.saveBackup).toHaveBeenCalledOnce();
  });

  it('opens the help with the cautions in it', async () => {
    open();
    await user.click(screen.getByRole('button', { name: 'Help' }));
    expect((await screen.findByRole('dialog', { name: 'Help' })).textContent).toContain(
      'A compressor wheel that bursts throws metal',
    );
    await user.keyboard('{Escape}');
    expect(screen.queryByRole('dialog')).toBeNull();
  });
});

describe('messages', () => {
  it('keep what went wrong until it is dismissed, and let go of what worked', () => {
    vi.useFakeTimers();
    open();
    act(() => {
      store.getState().notify({ tone: 'done', text: 'The build is open.', details: [] });
      store
        .getState()
        .notify({ tone: 'trouble', text: 'The file was not opened.', details: ['speedLines[0]: no points'] });
    });
    act(() => vi.advanceTimersByTime(60_000));
    expect(screen.queryByText('The build is open.')).toBeNull();
    expect(screen.getByText('speedLines[0]: no points')).toBeDefined();
    fireEvent.click(screen.getByRole('button', { name: 'Dismiss' }));
    expect(screen.queryByText('The file was not opened.')).toBeNull();
    vi.useRealTimers();
  });
});

describe('files dropped on the page', () => {
  const withFiles = (file: File) => ({ dataTransfer: { types: ['Files'], files: [file] } });

  it('say while they hover what will happen, and are handed over', () => {
    const take = vi.fn();
    render(<DropTarget onFiles={take} />);
    const file = new File(['{}'], 'map.json');
    fireEvent.dragEnter(window, withFiles(file));
    expect(screen.getByText('Drop to open')).toBeDefined();
    expect(fireEvent.drop(window, withFiles(file))).toBe(false);
    expect(screen.queryByText('Drop to open')).toBeNull();
    expect(take).toHaveBeenCalledWith([file]);
  });

  it('leave dragged text alone', () => {
    const take = vi.fn();
    render(<DropTarget onFiles={take} />);
    const text = { dataTransfer: { types: ['text/plain'], files: [] } };
    fireEvent.dragEnter(window, text);
    expect(screen.queryByText('Drop to open')).toBeNull();
    expect(fireEvent.drop(window, text)).toBe(true);
    expect(take).not.toHaveBeenCalled();
  });
});

function Broken(): never {
  throw new Error('no such colour');
}

describe('when drawing fails', () => {
  it('the page still offers the file of the data', async () => {
    const silenced = vi.spyOn(console, 'error').mockImplementation(() => undefined);
    const save = vi.fn();
    render(
      <ErrorBoundary onSaveData={save}>
        <Broken />
      </ErrorBoundary>,
    );
    expect(screen.getByRole('alert').textContent).toContain('Your data is not lost');
    await user.click(screen.getByRole('button', { name: 'Save everything as a file' }));
    expect(save).toHaveBeenCalledOnce();
    silenced.mockRestore();
  });
});
