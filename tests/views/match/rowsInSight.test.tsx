import { act, cleanup, render } from '@testing-library/react';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { resultUnits } from '../../../src/match/index.ts';
import { PointsTable } from '../../../src/views/match/drawer/PointsPanel.tsx';
import type { PointRow } from '../../../src/views/shared/pointTable.ts';
import { pointColumns } from '../../../src/views/shared/pointTable.ts';

type Look = (entries: { target: Element; isIntersecting: boolean }[]) => void;

let look: Look | null = null;

/** Plays the browser: tells which rows can be seen when the test says so. */
class Observer {
  constructor(told: Look) {
    look = told;
  }
  observe(): void {}
  disconnect(): void {}
}

const columns = pointColumns({ checked: false });
const units = resultUnits({});

function rowsSaying(text: string): PointRow[] {
  return [2000, 4000, 6000].map((engineSpeedRpm) => ({
    engineSpeedRpm,
    engineSpeed: String(engineSpeedRpm),
    cells: columns.map(() => text),
    remark: '',
  }));
}

function table(text: string) {
  return (
    <PointsTable
      rows={rowsSaying(text)}
      columns={columns}
      units={units}
      selectedRpm={null}
      chosenRpm={null}
      onSelect={() => undefined}
    />
  );
}

function shown() {
  return {
    texts: [...document.querySelectorAll('tbody tr')].map((row) => row.querySelector('td')?.textContent),
    isBusy: document.querySelector('table')?.getAttribute('aria-busy') === 'true',
  };
}

function see(...isIntersecting: boolean[]): void {
  const rows = [...document.querySelectorAll('tbody tr')];
  act(() => look?.(rows.map((target, index) => ({ target, isIntersecting: isIntersecting[index] ?? true }))));
}

beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal('IntersectionObserver', Observer);
});
afterEach(() => {
  cleanup();
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

describe('the table of operating points', () => {
  it('draws every row at once until the browser has said what can be seen', () => {
    const { rerender } = render(table('1'));
    rerender(table('2'));
    expect(shown()).toEqual({ texts: ['2', '2', '2'], isBusy: false });
  });

  it('draws what can be seen at once, the rest when the input rests, and says that it is behind', () => {
    const { rerender } = render(table('1'));
    see(true, true, false);
    rerender(table('2'));
    expect(shown()).toEqual({ texts: ['2', '2', '1'], isBusy: true });
    act(() => vi.advanceTimersByTime(60));
    rerender(table('3'));
    act(() => vi.advanceTimersByTime(60));
    expect(shown()).toEqual({ texts: ['3', '3', '1'], isBusy: true });
    act(() => vi.advanceTimersByTime(200));
    expect(shown()).toEqual({ texts: ['3', '3', '3'], isBusy: false });
  });

  it('brings a row up to date when it comes into sight, without waiting', () => {
    const { rerender } = render(table('1'));
    see(true, true, false);
    rerender(table('2'));
    see(false, true, true);
    expect(shown()).toEqual({ texts: ['2', '2', '2'], isBusy: false });
    rerender(table('3'));
    expect(shown().texts).toEqual(['2', '3', '3']);
  });
});
