import { act, cleanup, fireEvent, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { createRef, useState } from 'react';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { type CellColumn, CellGrid, type CellGridHandle, type CellGridProps } from '../../src/widgets/index.ts';

afterEach(cleanup);

const COLUMNS: readonly CellColumn[] = [
  { key: 'flow', header: 'Flow', unit: 'kg/s' },
  { key: 'pr', header: 'PR' },
  { key: 'eff', header: 'Efficiency', unit: '%' },
];
type Edit = [number, number, string, boolean];

/** Plays the store of a view: grows for edits and pastes beyond the last row. */
function Host({ start, edits, extra }: { start: string[][]; edits: Edit[]; extra: Partial<CellGridProps> }) {
  const [rows, setRows] = useState(start);
  const put = (row: number, column: number, matrix: string[][]) =>
    setRows((old) => {
      const next = old.map((cells) => [...cells]);
      matrix.forEach((texts, i) => {
        next[row + i] ??= ['', '', ''];
        texts.forEach((text, j) => {
          next[row + i]![column + j] = text;
        });
      });
      return next;
    });
  return (
    <>
      <CellGrid
        label="Speed lines"
        columns={COLUMNS}
        rows={rows}
        onEdit={(row, column, text, change) => {
          edits.push([row, column, text, change.transient]);
          put(row, column, [[text]]);
        }}
        onPaste={put}
        onInsertRow={(at) => setRows((old) => [...old.slice(0, at), ['', '', ''], ...old.slice(at)])}
        onDeleteRows={(first, count) => setRows((old) => old.filter((_, i) => i < first || i >= first + count))}
        {...extra}
      />
      <button type="button" onClick={() => setRows(start)}>
        Back to the start
      </button>
    </>
  );
}

const LINES = [
  ['0.05', '1.42', '68'],
  ['0.08', '1.40', '71'],
  ['0.11', '1.31', '69'],
];

function grid(start: string[][] = LINES, extra: Partial<CellGridProps> = {}) {
  const edits: Edit[] = [];
  render(<Host start={start} edits={edits} extra={extra} />);
  const texts = () =>
    within(screen.getByRole('grid'))
      .getAllByRole('row')
      .slice(1)
      .map((row) =>
        within(row)
          .getAllByRole('gridcell')
          .map((cell) => cell.querySelector('input')?.value ?? cell.textContent),
      );
  const cell = (row: number, column: number) =>
    within(screen.getAllByRole('row')[row + 1]!).getAllByRole('gridcell')[column]!;
  return { user: userEvent.setup(), edits, texts, cell };
}

const focused = () => {
  const place = document.activeElement?.closest('td');
  return [Number(place?.dataset.row), Number(place?.dataset.column)];
};

describe('typing', () => {
  it('replaces a cell, sends every keystroke, and goes down with Enter', async () => {
    const { user, edits, texts, cell } = grid();
    await user.click(cell(0, 0));
    await user.keyboard('0,06{Enter}');
    expect(texts()[0]).toEqual(['0,06', '1.42', '68']);
    expect(edits).toEqual([
      [0, 0, '0', true],
      [0, 0, '0,', true],
      [0, 0, '0,0', true],
      [0, 0, '0,06', true],
      [0, 0, '0,06', false],
    ]);
    expect(focused()).toEqual([1, 0]);
  });

  it('fills a new row through the empty one at the end: Tab right, Enter back to where Tab began', async () => {
    const { user, texts, cell } = grid();
    expect(texts()).toHaveLength(4);
    await user.click(cell(3, 0));
    await user.keyboard('0.13{Tab}1.10{Tab}60{Enter}0.15{Tab}');
    expect(texts()).toEqual([...LINES, ['0.13', '1.10', '60'], ['0.15', '', ''], ['', '', '']]);
    expect(focused()).toEqual([4, 1]);
  });

  it('edits in place with F2 and gives the old text back with Escape', async () => {
    const { user, edits, texts, cell } = grid();
    await user.click(cell(1, 1));
    await user.keyboard('{F2}5');
    expect(texts()[1]![1]).toBe('1.405');
    await user.keyboard('{Escape}');
    expect(texts()[1]![1]).toBe('1.40');
    expect(edits.at(-1)).toEqual([1, 1, '1.40', false]);
    expect(focused()).toEqual([1, 1]);
  });

  it('keeps what was typed when the person clicks elsewhere', async () => {
    const { user, edits, texts, cell } = grid();
    await user.dblClick(cell(0, 2));
    await user.keyboard('.5');
    await user.click(screen.getByRole('button', { name: 'Back to the start' }).parentElement!);
    await user.click(cell(2, 2));
    expect(texts()[0]![2]).toBe('68.5');
    expect(edits.filter((edit) => !edit[3])).toEqual([[0, 2, '68.5', false]]);
  });

  it('shows the text that undo put back, not the one being typed', async () => {
    const { user, texts, cell } = grid();
    await user.click(cell(0, 0));
    await user.keyboard('9');
    act(() => screen.getByRole('button', { name: 'Back to the start' }).click());
    expect(texts()[0]![0]).toBe('0.05');
  });

  it('clears with Delete: one cell, or all that is selected', async () => {
    const { user, texts, cell } = grid();
    await user.click(cell(0, 0));
    await user.keyboard('{Delete}');
    expect(texts()[0]).toEqual(['', '1.42', '68']);
    await user.keyboard('{ArrowRight}{Shift>}{ArrowDown}{ArrowRight}{/Shift}{Delete}');
    expect(texts().slice(0, 3)).toEqual([['', '', ''], ['0.08', '', ''], LINES[2]]);
  });
});

describe('moving', () => {
  it('follows the arrow keys and stops at the edges; only one cell is in the tab order', async () => {
    const { user, cell } = grid();
    await user.tab();
    expect(focused()).toEqual([0, 0]);
    await user.keyboard('{ArrowUp}{ArrowLeft}{ArrowDown}{ArrowRight}');
    expect(focused()).toEqual([1, 1]);
    await user.keyboard('{Control>}{End}{/Control}');
    expect(focused()).toEqual([3, 2]);
    expect(document.querySelectorAll('td[tabindex="0"]')).toHaveLength(1);
    expect(cell(3, 2).getAttribute('aria-selected')).toBe('true');
  });

  it('lets Tab out at the end, and anywhere after Escape', async () => {
    const { user, cell } = grid();
    await user.click(cell(3, 2));
    await user.tab();
    expect(document.activeElement?.closest('table')).toBeNull();
    await user.click(cell(1, 0));
    await user.keyboard('{Escape}');
    await user.tab();
    expect(document.activeElement?.closest('table')).toBeNull();
  });

  it('goes to a cell that a finding points at', () => {
    const ref = createRef<CellGridHandle>();
    grid(LINES, { ref });
    act(() => ref.current?.focusCell(2, 1));
    expect(focused()).toEqual([2, 1]);
  });
});

describe('clipboard', () => {
  it('pastes a block into any cell and grows', async () => {
    const { user, texts, cell } = grid();
    await user.click(cell(2, 1));
    await user.paste('1,30\t70\r\n1,20\t65\r\n1,10\t58\r\n');
    expect(texts()).toEqual([
      LINES[0],
      LINES[1],
      ['0.11', '1,30', '70'],
      ['', '1,20', '65'],
      ['', '1,10', '58'],
      ['', '', ''],
    ]);
    expect(screen.getByRole('status').textContent).toBe('3 rows pasted.');
    expect(screen.getAllByRole('gridcell', { selected: true })).toHaveLength(6);
  });

  it('is arranged before what has no room is left out, where it begins at the first column', async () => {
    const turned = (matrix: string[][]) => (matrix[0] ?? []).map((_, i) => matrix.map((row) => row[i] ?? ''));
    const { user, texts, cell } = grid(LINES, { arrange: turned });
    await user.click(cell(0, 0));
    await user.paste('1\t2\t3\t4\n5\t6\t7\t8');
    expect(texts().slice(0, 4)).toEqual([
      ['1', '5', '68'],
      ['2', '6', '71'],
      ['3', '7', '69'],
      ['4', '8', ''],
    ]);
    expect(screen.getByRole('status').textContent).toBe('4 rows pasted.');
    await user.click(cell(0, 1));
    await user.paste('9\t10\n11\t12');
    expect(texts()[0]).toEqual(['1', '9', '10']);
  });

  it('says what had no room', async () => {
    const { user, texts, cell } = grid();
    await user.click(cell(0, 1));
    await user.paste('1.5;70;9;8\n1.4;71;9;8');
    expect(texts()[0]).toEqual(['0.05', '1.5', '70']);
    expect(screen.getByRole('status').textContent).toContain('The last 2 columns had no room');
  });

  it('fills a selection with one copied number, and pastes a word into an open cell as text', async () => {
    const { user, texts, cell } = grid();
    await user.click(cell(0, 2));
    await user.keyboard('{Shift>}{ArrowDown}{ArrowDown}{/Shift}');
    await user.paste('70');
    expect(texts().map((row) => row[2])).toEqual(['70', '70', '70', '']);
    await user.keyboard('{F2}');
    await user.paste('5');
    expect(texts()[0]![2]).toBe('705');
  });

  it('copies and cuts the selection as a spreadsheet reads it', async () => {
    const { user, texts, cell } = grid();
    await user.click(cell(0, 1));
    await user.keyboard('{Shift>}{ArrowDown}{ArrowRight}{/Shift}');
    const clipboardData = { setData: vi.fn() };
    fireEvent.copy(document.activeElement!, { clipboardData });
    expect(clipboardData.setData).toHaveBeenLastCalledWith('text/plain', '1.42\t68\n1.40\t71');
    expect(texts()).toEqual([...LINES, ['', '', '']]);
    fireEvent.cut(document.activeElement!, { clipboardData });
    expect(clipboardData.setData).toHaveBeenCalledTimes(2);
    expect(texts().slice(0, 2)).toEqual([
      ['0.05', '', ''],
      ['0.08', '', ''],
    ]);
  });
});

describe('rows', () => {
  it('inserts above and deletes what is selected, by buttons and by keys', async () => {
    const { user, texts, cell } = grid();
    await user.click(cell(1, 0));
    await user.click(screen.getByRole('button', { name: 'Insert a row above' }));
    expect(texts().map((row) => row[0])).toEqual(['0.05', '', '0.08', '0.11', '']);
    await user.click(screen.getByRole('button', { name: 'Delete the row' }));
    expect(texts().map((row) => row[0])).toEqual(['0.05', '0.08', '0.11', '']);
    await user.click(cell(0, 0));
    await user.keyboard('{Shift>}{ArrowDown}{/Shift}{Control>}{Backspace}{/Control}');
    expect(texts().map((row) => row[0])).toEqual(['0.11', '']);
  });

  it('selects a whole row by its number', async () => {
    const { user } = grid();
    await user.click(screen.getByRole('rowheader', { name: '2' }));
    expect(screen.getAllByRole('gridcell', { selected: true }).map((cell) => cell.textContent)).toEqual(LINES[1]);
  });

  it('does not add an empty row after an empty one', () => {
    expect(grid([...LINES, ['', '', '']]).texts()).toHaveLength(4);
  });
});

describe('marks', () => {
  it('stand in the cell and are read out where the person is', async () => {
    const message = "'1.4O' in row 2 cannot be read as a number.";
    const { user, cell } = grid(LINES, { marks: [{ row: 1, column: 1, severity: 'error', message }] });
    expect(cell(1, 1).getAttribute('aria-invalid')).toBe('true');
    expect(cell(1, 1).title).toBe(message);
    await user.click(cell(1, 1));
    expect(screen.getByRole('status').textContent).toBe(message);
    expect(cell(1, 1).getAttribute('aria-describedby')).toBe(screen.getByRole('status').id);
    await user.keyboard('{ArrowDown}');
    expect(screen.getByRole('status').textContent).toBe('');
  });
});
