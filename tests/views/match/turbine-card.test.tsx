import { screen, within } from '@testing-library/react';
import { describe, expect, it } from 'vitest';
import { addSheet, assignTurbineSheet, editMap, setField } from '../../../src/build/index.ts';
import { selectCandidateResults } from '../../../src/store/index.ts';
import {
  build,
  choice,
  described,
  enter,
  field,
  heading,
  input,
  measure,
  openCard,
  plain,
  standOnTurbineStage,
  store,
  turbine,
  user,
} from './turbine-stage.tsx';

standOnTurbineStage();

describe('the turbine on the card', () => {
  it('not known: says what cannot be told, and asks for nothing else', async () => {
    store.getState().run(setField('candidate.turbine.source', 'none', 'demo-a'));
    await openCard();
    expect(turbine().textContent).toMatch(/Boost threshold, back-pressure and what the gate has left cannot be told/);
    expect(within(turbine()).getAllByRole('combobox').length).toBe(1);
  });

  it('chooses among the turbine sheets of the shelf, and compressor maps are chosen elsewhere', async () => {
    store.getState().run(setField('candidate.turbine.source', 'none', 'demo-a'));
    const names = (label: string) =>
      within(choice(label))
        .getAllByRole('option')
        .map((option) => option.textContent);
    await user.click(heading('Candidate A'));
    expect(names('Map')).not.toContain('Small turbine');
    await openCard();
    expect(names('Its own map')).not.toContain('Small turbine');
    await user.selectOptions(choice('Flow capacity'), 'From a turbine sheet');
    expect(names('Turbine sheet')).toContain('Small turbine');
    expect(names('Turbine sheet').filter((name) => names('Its own map').includes(name ?? ''))).toEqual([]);
    await user.selectOptions(choice('Turbine sheet'), 'Not chosen yet');
    expect(build().candidates[0]?.turbineSheet).toBeNull();
    expect(input().turbine).toBeUndefined();
    await user.selectOptions(choice('Turbine sheet'), 'Small turbine');
    expect(input().turbine?.capacity.from).toBe('sheet');
  });

  it('a new sheet lies on the shelf, belongs to the candidate, is open in the Maps view, and is one step of undo', async () => {
    store.getState().run(setField('candidate.name', 'Stock turbo', 'demo-a'));
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
    store.getState().run(setField('candidate.housing.scroll', 'single', 'demo-a'));
    await openCard();
    expect(screen.queryByRole('combobox', { name: 'Flows on the sheet are of' })).toBeNull();
    const capacity = () => {
      const { capacity, capacityFactor = 1 } = input().turbine!;
      return capacityFactor * capacity.flowParameter(2.2, 0);
    };
    const single = capacity();
    await user.selectOptions(choice('Turbine scroll'), 'Twin');
    expect(capacity()).toBeCloseTo(single, 12);
    await user.selectOptions(choice('Flows on the sheet are of'), 'One entry');
    // Two equal entries in parallel, flows summed as steady flow.
    expect(capacity() / single).toBeCloseTo(2, 9);
  });

  it('estimates from the measurements: names what is missing, then shows the estimate with its band', async () => {
    const { run } = store.getState();
    for (const path of ['wheels.turbine.inducer', 'wheels.turbine.exducer'] as const)
      run(setField(`candidate.${path}`, { text: '', unit: 'mm' }, 'demo-a'));
    run(setField('candidate.housing.turbineAreaRadius', { text: '', unit: 'in' }, 'demo-a'));
    await openCard();
    await user.selectOptions(choice('Flow capacity'), 'Estimated from the measurements here');
    const said = () =>
      within(turbine())
        .getAllByRole('status')
        .map((status) => plain(status.textContent))
        .join(' ');
    expect(said()).toContain('Still to be measured: turbine inducer diameter, turbine exducer diameter, turbine A/R.');
    expect(said()).not.toMatch(/passes/);
    measure();
    await within(turbine()).findByText(/passes/);
    expect(within(turbine()).getByText('estimate')).toBeDefined();
    const [, middle, low, high] = /passes ([\d.]+) kg\/s .*±15 %: ([\d.]+) kg\/s to ([\d.]+) kg\/s/.exec(said()) ?? [];
    // The printed band is 15 % of the printed middle, to the printed digits; the middle is the capacity that is computed with.
    expect(Number(low)).toBeCloseTo(Number(middle) * 0.85, 2);
    expect(Number(high)).toBeCloseTo(Number(middle) * 1.15, 2);
    const { capacity } = input().turbine!;
    const corrected = (capacity.flowParameter(2, 0) * 101_325) / Math.sqrt(287.05 * 288.15);
    expect(Number(middle)).toBeCloseTo(corrected, 3);
  });

  it('an estimate takes the number of the card where the efficiencies came off the sheet, in one step of undo', async () => {
    store.getState().run(setField('candidate.turbine.efficiency.kind', 'sheet', 'demo-a'));
    await openCard();
    await user.selectOptions(choice('Flow capacity'), 'Estimated from the measurements here');
    expect(build().candidates[0]?.turbine).toMatchObject({ source: 'measured', efficiency: { kind: 'number' } });
    store.getState().undo();
    expect(build().candidates[0]?.turbine).toMatchObject({ source: 'sheet', efficiency: { kind: 'sheet' } });
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
    await user.selectOptions(choice('Flow capacity'), 'Estimated from the measurements here');
    expect(fromSheet().disabled).toBe(true);
  });

  it('asks for the mechanical efficiency unless the efficiency holds the losses of the bearing', async () => {
    store.getState().run(setField('candidate.turbine.includesBearing', false, 'demo-a'));
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
    store.getState().run(addSheet('turbine', 'bare', 'Bare sheet'));
    store.getState().run(assignTurbineSheet('demo-a', 'bare'));
    await user.click(heading('Candidate A'));
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
