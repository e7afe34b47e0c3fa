import { cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import {
  addTurbineSheet,
  assignTurbineSheet,
  changeSettings,
  demoWorkspace,
  editMap,
  setBuildField,
  setCandidateField,
  setCardField,
} from '../../../src/build/index.ts';
import {
  createLuglineStore,
  LuglineContext,
  type LuglineStore,
  selectActiveBuild,
  selectCandidateResults,
} from '../../../src/store/index.ts';
import { MatchView } from '../../../src/views/match/index.ts';
import '../../widgets/cssEscape.ts';

beforeAll(async () => {
  await import('../../../src/views/match/candidate/index.ts');
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
});

let store: LuglineStore;
let user: ReturnType<typeof userEvent.setup>;
let troubles: unknown[];

beforeEach(() => {
  store = createLuglineStore(demoWorkspace());
  const { run } = store.getState();
  run(addTurbineSheet('small', 'Small turbine'));
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
    run(setCardField(id, 'turbine.efficiency.kind', 'number'));
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
});
afterEach(() => {
  cleanup();
  expect(troubles).toEqual([]);
});

const plain = (text: string | null | undefined) => (text ?? '').replaceAll('\u00a0', ' ');
const build = () => selectActiveBuild(store.getState());
const input = (index = 0) => selectCandidateResults(store.getState(), index)!.input!;
const heading = (title: string) => screen.getByRole('button', { name: new RegExp(`^${title}\\b`) });
const group = (title: string) => screen.getByRole('group', { name: new RegExp(`^${title}\\b`) });
const field = (label: string) => screen.getByRole('spinbutton', { name: label });
const choice = (label: string) => screen.getByRole('combobox', { name: label });
const turbine = () => screen.getByRole('region', { name: 'Turbine' });
async function enter(label: string, text: string) {
  await user.clear(field(label));
  await user.type(field(label), text);
}
const openCard = async () => {
  await user.click(screen.getByRole('button', { name: /^Card of candidate A/ }));
  return screen.findByRole('dialog', { name: 'Card of candidate A' });
};
const described = (element: HTMLElement) =>
  (element.getAttribute('aria-describedby') ?? '')
    .split(' ')
    .map((id) => plain(document.getElementById(id)?.textContent))
    .join(' ');

describe('the exhaust in the sidebar', () => {
  it('is folded at first and says what it holds', () => {
    expect(heading('Exhaust').getAttribute('aria-expanded')).toBe('false');
    const { loss } = build().exhaust;
    expect(plain(heading('Exhaust').textContent)).toContain(`${loss.text} kPa, temp. estimated`);
  });

  it('takes the loss with a comma, keeps what was typed, and is a step of undo', async () => {
    const before = build().exhaust.loss;
    await user.click(heading('Exhaust'));
    await enter('Pressure loss', '22,5');
    expect(build().exhaust.loss).toEqual({ text: '22,5', unit: 'kPa' });
    expect(input().turbine?.exhaustLoss.lossPa).toBeCloseTo(22_500, 6);
    expect(plain(heading('Exhaust').textContent)).toContain('22,5 kPa');
    await user.tab();
    store.getState().undo();
    expect(build().exhaust.loss).toEqual(before);
  });

  it('keeps text that is no number in the field, says so there, and goes on with the last good one', async () => {
    await user.click(heading('Exhaust'));
    const { lossPa } = input().turbine!.exhaustLoss;
    const loss = within(group('Exhaust')).getByRole('spinbutton', { name: 'Pressure loss' });
    await user.clear(loss);
    await user.type(loss, 'abc');
    await user.tab();
    expect((loss as HTMLInputElement).value).toBe('abc');
    expect(loss.getAttribute('aria-invalid')).toBe('true');
    expect(input().turbine?.exhaustLoss.lossPa).toBe(lossPa);
  });

  it('shows what the estimate of the turbine inlet temperature gives along the line, in the unit of the results', async () => {
    await user.click(heading('Exhaust'));
    const found = selectCandidateResults(store.getState(), 0)!.points.flatMap((point) =>
      point.status === 'ok' && point.turbine !== null ? [point.turbine.inletTemperatureK] : [],
    );
    expect(found.length).toBeGreaterThan(3);
    const [low, high] = [Math.min(...found), Math.max(...found)];
    const words = () => plain(within(group('Exhaust')).getByText(/estimated from fuel/).textContent);
    const celsius = (kelvin: number) => Math.round(kelvin - 273.15).toLocaleString('en-GB');
    const fahrenheit = (kelvin: number) => Math.round((kelvin - 273.15) * 1.8 + 32).toLocaleString('en-GB');
    expect(words()).toBe(
      `${celsius(low)} °C to ${celsius(high)} °C along the line, estimated from fuel, lambda and consumption.`,
    );
    store.getState().run(changeSettings({ resultUnits: { temperature: 'degF' } }));
    expect(await screen.findByText(new RegExp(`${fahrenheit(high)}.°F along`))).toBeDefined();
  });

  it('says that it is not used yet while no turbine is known', async () => {
    await user.click(heading('Exhaust'));
    for (const id of ['demo-a', 'demo-b']) store.getState().run(setCardField(id, 'turbine.source', 'none'));
    expect(await screen.findByText('Used once the turbine of a candidate is known.')).toBeDefined();
    expect(screen.getByText('Estimated from fuel, lambda and consumption.')).toBeDefined();
  });

  it('takes an entered temperature: a number is one row of its curve', async () => {
    store.getState().run(
      setBuildField('exhaust.inletTemperature.curve', {
        unit: 'degC',
        rows: [{ engineSpeed: '2000', value: '940' }],
      }),
    );
    await user.click(heading('Exhaust'));
    await user.selectOptions(choice('Turbine inlet temperature'), 'Entered');
    expect(screen.getByRole('grid', { name: 'Turbine inlet temperature, points' })).toBeDefined();
    expect(plain(heading('Exhaust').textContent)).toContain('940 °C');
    const at = selectCandidateResults(store.getState(), 0)!.points.flatMap((point) =>
      point.status === 'ok' && point.turbine !== null ? [point.turbine] : [],
    );
    expect(at.length).toBeGreaterThan(3);
    for (const { inletTemperatureK, temperatureEstimated } of at) {
      expect(inletTemperatureK).toBeCloseTo(1213.15, 6);
      expect(temperatureEstimated).toBe(false);
    }
  });

  it('takes the back-pressure ratio at which volumetric efficiency was measured, with the reason for it', async () => {
    await user.click(heading('Exhaust'));
    expect(described(field('Back-pressure ratio of vol. efficiency'))).toMatch(
      /The cylinders fill less as back-pressure rises/,
    );
    await enter('Back-pressure ratio of vol. efficiency', '1.25');
    expect(input().turbine?.measuredBackPressureRatio).toBe(1.25);
  });
});

describe('the limits of the turbine side', () => {
  it('are empty at first and then held', async () => {
    await user.click(heading('Limits'));
    store.getState().run(setBuildField('limits.backPressureRatio', { text: '', unit: '1' }));
    store.getState().run(setBuildField('limits.turbineInletTemperature', { text: '', unit: 'degC' }));
    expect(input().limits.backPressureRatio).toBeUndefined();
    await enter('Back-pressure ratio', '1,6');
    await enter('Turbine inlet temp.', '980');
    expect(input().limits.backPressureRatio).toBe(1.6);
    expect(input().limits.turbineInletTemperatureK).toBeCloseTo(1253.15, 6);
  });

  it('refuse a slip of unit where it was typed, and keep it there', async () => {
    await user.click(heading('Limits'));
    await enter('Turbine inlet temp.', '98');
    await user.tab();
    expect(described(field('Turbine inlet temp.'))).toMatch(/°C/);
    expect(field('Turbine inlet temp.').getAttribute('aria-invalid')).toBe('true');
    expect((field('Turbine inlet temp.') as HTMLInputElement).value).toBe('98');
  });
});

describe('the line of the turbine in the sidebar', () => {
  const line = () => plain(screen.getByText('Turbine', { selector: 'p > span' }).closest('p')!.textContent);

  it('says what is known, in the three ways that there are', async () => {
    expect(line()).toBe('Turbine sheet “Small turbine”');
    const { run } = store.getState();
    run(setCardField('demo-a', 'turbine.source', 'none'));
    await screen.findByText(/not known/);
    expect(line()).toBe('Turbine not known: threshold and back-pressure cannot be told');
    measure();
    run(setCardField('demo-a', 'turbine.source', 'measured'));
    await screen.findByText(/estimated, ±/);
    expect(line()).toBe('Turbine estimated, ±15 %');
  });

  it('opens the card at the turbine, the keyboard on its first choice', async () => {
    await user.click(screen.getByRole('button', { name: 'Turbine on the card' }));
    await screen.findByRole('dialog', { name: 'Card of candidate A' });
    expect(document.activeElement).toBe(choice('Swallowing capacity'));
    // Opened again by its other buttons, the card begins at its beginning.
    await user.click(screen.getByRole('button', { name: 'Done' }));
    await openCard();
    expect(document.activeElement).not.toBe(choice('Swallowing capacity'));
  });
});

/** Invented: a turbine wheel of a 2-litre engine's turbo by calipers, and the A/R cast on its housing. */
function measure() {
  const { run } = store.getState();
  run(setCardField('demo-a', 'wheels.turbine.inducer', { text: '50', unit: 'mm' }));
  run(setCardField('demo-a', 'wheels.turbine.exducer', { text: '44', unit: 'mm' }));
  run(setCardField('demo-a', 'housing.turbineAreaRadius', { text: '0.55', unit: 'in' }));
}

describe('the turbine on the card', () => {
  it('not known: says what cannot be told, and asks for nothing else', async () => {
    store.getState().run(setCardField('demo-a', 'turbine.source', 'none'));
    await openCard();
    expect(turbine().textContent).toMatch(/Boost threshold, back-pressure and what the gate has left cannot be told/);
    expect(within(turbine()).getAllByRole('combobox').length).toBe(1);
  });

  it('chooses among the turbine sheets of the shelf, and compressor maps are chosen elsewhere', async () => {
    store.getState().run(setCardField('demo-a', 'turbine.source', 'none'));
    const names = (label: string) =>
      within(choice(label))
        .getAllByRole('option')
        .map((option) => option.textContent);
    expect(names('Map')).not.toContain('Small turbine');
    await openCard();
    expect(names('Its own map')).not.toContain('Small turbine');
    await user.selectOptions(choice('Swallowing capacity'), 'From a turbine sheet');
    expect(names('Turbine sheet')).toContain('Small turbine');
    expect(names('Turbine sheet').filter((name) => names('Its own map').includes(name ?? ''))).toEqual([]);
    await user.selectOptions(choice('Turbine sheet'), 'Not chosen yet');
    expect(build().candidates[0]?.turbineSheet).toBeNull();
    expect(input().turbine).toBeUndefined();
    await user.selectOptions(choice('Turbine sheet'), 'Small turbine');
    expect(input().turbine?.capacity.from).toBe('sheet');
  });

  it('a new sheet lies on the shelf, belongs to the candidate, is open in the Maps view, and is one step of undo', async () => {
    store.getState().run(setCandidateField('demo-a', 'name', 'Stock turbo'));
    await openCard();
    await user.click(screen.getByRole('button', { name: 'New turbine sheet' }));
    const { ui, workspace } = store.getState();
    const made = workspace.shelf[ui.openMapId!]!;
    expect(ui.view).toBe('maps');
    expect(ui.openCardId).toBeNull();
    expect(made.kind).toBe('turbine');
    expect(made.name).toBe('Turbine of Stock turbo');
    expect(build().candidates[0]?.turbineSheet).toBe(made);
    store.getState().undo();
    expect(build().candidates[0]?.turbineSheet?.id).toBe('small');
    expect(store.getState().workspace.shelf[made.id]).toBeUndefined();
  });

  it('opens its sheet in the Maps view', async () => {
    await openCard();
    await user.click(screen.getByRole('button', { name: 'Open in Maps' }));
    expect(store.getState().ui).toMatchObject({ view: 'maps', openMapId: 'small', openCardId: null });
  });

  it('asks whose flows the sheet gives only for a twin scroll: those of one entry count twice', async () => {
    store.getState().run(setCardField('demo-a', 'housing.scroll', 'single'));
    await openCard();
    expect(screen.queryByRole('combobox', { name: 'Flows on the sheet are of' })).toBeNull();
    const swallows = () => {
      const { capacity, capacityFactor = 1 } = input().turbine!;
      return capacityFactor * capacity.flowParameter(2.2, 0);
    };
    const single = swallows();
    await user.selectOptions(choice('Turbine scroll'), 'Twin');
    expect(swallows()).toBeCloseTo(single, 12);
    await user.selectOptions(choice('Flows on the sheet are of'), 'One entry');
    // Two equal entries in parallel, flows summed as steady flow.
    expect(swallows() / single).toBeCloseTo(2, 9);
  });

  it('estimates from the measurements: names what is missing, then shows the estimate with its band', async () => {
    const { run } = store.getState();
    for (const path of ['wheels.turbine.inducer', 'wheels.turbine.exducer'] as const)
      run(setCardField('demo-a', path, { text: '', unit: 'mm' }));
    run(setCardField('demo-a', 'housing.turbineAreaRadius', { text: '', unit: 'in' }));
    await openCard();
    await user.selectOptions(choice('Swallowing capacity'), 'Estimated from the measurements here');
    const said = () =>
      within(turbine())
        .getAllByRole('status')
        .map((status) => plain(status.textContent))
        .join(' ');
    expect(said()).toContain('Still to be measured: turbine inducer diameter, turbine exducer diameter, turbine A/R.');
    expect(said()).not.toMatch(/swallows/);
    measure();
    await within(turbine()).findByText(/swallows/);
    expect(within(turbine()).getByText('estimate')).toBeDefined();
    const [, middle, low, high] =
      /swallows ([\d.]+) kg\/s .*±15 %: ([\d.]+) kg\/s to ([\d.]+) kg\/s/.exec(said()) ?? [];
    // The printed band is 15 % of the printed middle, to the printed digits; the middle is the capacity that is computed with.
    expect(Number(low)).toBeCloseTo(Number(middle) * 0.85, 2);
    expect(Number(high)).toBeCloseTo(Number(middle) * 1.15, 2);
    const { capacity } = input().turbine!;
    const corrected = (capacity.flowParameter(2, 0) * 101_325) / Math.sqrt(287.05 * 288.15);
    expect(Number(middle)).toBeCloseTo(corrected, 3);
  });

  it('takes the efficiency as a number, as a parabola over U/C0, and from a sheet only where there is one', async () => {
    measure();
    await openCard();
    await enter('Efficiency', '68,5');
    expect(input().turbine?.efficiency).toEqual({ kind: 'number', value: 0.685 });
    await user.selectOptions(choice('Turbine efficiency'), 'Parabola over U/C0');
    await enter('Best efficiency', '72');
    await enter('… at U/C0 of', '0.66');
    expect(input().turbine?.efficiency).toMatchObject({ kind: 'speed-ratio', best: 0.72, optimum: 0.66 });
    // Over the larger diameter of the wheel, the inducer.
    expect(input().turbine?.efficiency).toHaveProperty('wheelDiameterM', expect.closeTo(0.05, 9));
    const fromSheet = () =>
      within(choice('Turbine efficiency')).getByRole<HTMLOptionElement>('option', { name: 'From the sheet' });
    expect(fromSheet().disabled).toBe(false);
    await user.selectOptions(choice('Swallowing capacity'), 'Estimated from the measurements here');
    expect(fromSheet().disabled).toBe(true);
  });

  it('asks for the mechanical efficiency unless the efficiency holds the losses of the bearing', async () => {
    store.getState().run(setCardField('demo-a', 'turbine.includesBearing', false));
    await openCard();
    await enter('Mechanical efficiency', '96');
    expect(input().turbine?.mechanicalEfficiency).toBeCloseTo(0.96, 12);
    await user.click(screen.getByRole('switch', { name: "Efficiency holds the bearing's losses" }));
    expect(screen.queryByRole('spinbutton', { name: 'Mechanical efficiency' })).toBeNull();
    expect(input().turbine?.mechanicalEfficiency).toBe(1);
    await user.click(screen.getByRole('switch', { name: "Efficiency holds the bearing's losses" }));
    expect((field('Mechanical efficiency') as HTMLInputElement).value).toBe('96');
  });

  it('says beside the field that an emptied number is missing, and keeps the rest working', async () => {
    await openCard();
    await user.clear(field('Efficiency'));
    await user.tab();
    expect(described(field('Efficiency'))).toMatch(/turbine efficiency/);
    // The line without the turbine is still there.
    expect(selectCandidateResults(store.getState(), 0)?.points.some(({ status }) => status === 'ok')).toBe(true);
  });

  it('says of an empty sheet that nothing can be read off it', async () => {
    store.getState().run(addTurbineSheet('bare', 'Bare sheet'));
    store.getState().run(assignTurbineSheet('demo-a', 'bare'));
    await openCard();
    expect(within(turbine()).getAllByRole('status').length).toBeGreaterThan(0);
    expect(plain(screen.getByText('Turbine', { selector: 'p > span' }).closest('p')!.textContent)).toBe(
      'Turbine sheet “Bare sheet”, not complete yet',
    );
  });

  it('says no more than three of many rows that cannot be read, and where all of them stand', async () => {
    const bad = Array.from({ length: 9 }, (_, i) => ({ pressureRatio: `1.${i + 1}`, flow: 'x', efficiency: '' }));
    store.getState().run(
      editMap('small', (draft) => ({
        ...draft,
        speedLines: draft.speedLines.map((line) => ({ ...line, points: [...line.points, ...bad] })),
      })),
    );
    await openCard();
    expect(plain(turbine().textContent)).toMatch(/… and [6-9] more: the audit of the sheet in the Maps view has all/);
    expect(input().turbine?.capacity.from).toBe('sheet');
  });
});
