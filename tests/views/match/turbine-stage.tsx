import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, expect, vi } from 'vitest';
import { demoWorkspace } from '../../../src/build/demo.ts';
import { addSheet, assignTurbineSheet, editMap, setField } from '../../../src/build/index.ts';
import {
  createLuglineStore,
  LuglineContext,
  type LuglineStore,
  selectActiveBuild,
  selectCandidateResults,
} from '../../../src/store/index.ts';
import { MatchView } from '../../../src/views/match/index.tsx';
import '../../widgets/cssEscape.ts';

export let store: LuglineStore;
export let user: ReturnType<typeof userEvent.setup>;
let troubles: unknown[];

/**
 * The Match view with an invented turbine sheet on both candidates, for the tests of a turbine's inputs: set up anew before every test,
 * and no console message is expected after it. Called by each file: modules are shared within a worker, so importing would do it once.
 */
export function standOnTurbineStage(): void {
  beforeAll(prepare);
  beforeEach(begin);
  afterEach(() => {
    cleanup();
    expect(troubles).toEqual([]);
  });
}

async function prepare() {
  await import('../../../src/views/match/candidate/CardDialog.tsx');
  vi.stubGlobal(
    'ResizeObserver',
    class {
      observe() {}
      disconnect() {}
      unobserve() {}
    },
  );
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(700);
  vi.spyOn(HTMLElement.prototype, 'clientHeight', 'get').mockReturnValue(500);
}

function begin() {
  store = createLuglineStore(demoWorkspace(), { now: () => 0 });
  const { run } = store.getState();
  run(addSheet('turbine', 'small', 'Small turbine'));
  // Invented: corrected flows at 288.15 K and 101.325 kPa over the expansion ratio, rising until it chokes.
  run(
    editMap('small', (draft) => ({
      ...draft,
      reference: { temperature: { text: '288.15', unit: 'K' }, pressure: { text: '101.325', unit: 'kPa' } },
      flowUnit: 'kg/s',
      speedLines: [
        {
          speed: '',
          points: [
            { pressureRatio: '1.2', flow: '0.070', efficiency: '' },
            { pressureRatio: '1.6', flow: '0.094', efficiency: '' },
            { pressureRatio: '2.2', flow: '0.104', efficiency: '' },
            { pressureRatio: '3.0', flow: '0.108', efficiency: '' },
          ],
        },
      ],
    })),
  );
  for (const id of ['demo-a', 'demo-b']) {
    run(assignTurbineSheet(id, 'small'));
    run(setField('candidate.turbine.efficiency.kind', 'number', id));
  }
  user = userEvent.setup();
  troubles = [];
  vi.spyOn(console, 'error').mockImplementation((...said) => void troubles.push(said));
  vi.spyOn(console, 'warn').mockImplementation((...said) => void troubles.push(said));
  render(
    <LuglineContext value={store}>
      <MatchView />
    </LuglineContext>,
  );
}

export const plain = (text: string | null | undefined) => (text ?? '').replaceAll('\u00a0', ' ');
export const build = () => selectActiveBuild(store.getState());
export const input = (index = 0) => selectCandidateResults(store.getState(), index)!.input!;
export const heading = (title: string) => screen.getByRole('button', { name: new RegExp(`^${title}\\b`) });
export const group = (title: string) => screen.getByRole('group', { name: new RegExp(`^${title}\\b`) });
export const field = (label: string) => screen.getByRole('spinbutton', { name: label });
export const choice = (label: string) => screen.getByRole('combobox', { name: label });
export const turbine = () => screen.getByRole('region', { name: 'Turbine' });
export async function enter(label: string, text: string) {
  await user.clear(field(label));
  await user.type(field(label), text);
}
export const openCard = async () => {
  await user.click(screen.getByRole('button', { name: /^Card of candidate A/ }));
  return screen.findByRole('dialog', { name: 'Card of candidate A' });
};
export const described = (element: HTMLElement) =>
  (element.getAttribute('aria-describedby') ?? '')
    .split(' ')
    .map((id) => plain(document.getElementById(id)?.textContent))
    .join(' ');

/** Invented: a turbine wheel of a 2-litre engine's turbo by calipers, and the A/R cast on its housing. */
export function measure() {
  const { run } = store.getState();
  run(setField('candidate.wheels.turbine.inducer', { text: '50', unit: 'mm' }, 'demo-a'));
  run(setField('candidate.wheels.turbine.exducer', { text: '44', unit: 'mm' }, 'demo-a'));
  run(setField('candidate.housing.turbineAreaRadius', { text: '0.55', unit: 'in' }, 'demo-a'));
}
