import { screen, within } from '@testing-library/react';
import { beforeEach, describe, expect, it } from 'vitest';
import { changeSettings, setBuildField, setField } from '../../../src/build/index.ts';
import { selectCandidateResults } from '../../../src/store/index.ts';
import {
  build,
  choice,
  described,
  enter,
  field,
  group,
  heading,
  input,
  measure,
  openCard,
  plain,
  standOnTurbineStage,
  store,
  user,
} from './turbine-stage.tsx';

standOnTurbineStage();

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
    const celsius = (kelvin: number) =>
      Math.round(kelvin - 273.15)
        .toLocaleString('en', { useGrouping: 'min2' })
        .replaceAll(',', '\u202f');
    const fahrenheit = (kelvin: number) =>
      Math.round((kelvin - 273.15) * 1.8 + 32)
        .toLocaleString('en', { useGrouping: 'min2' })
        .replaceAll(',', '\u202f');
    expect(words()).toBe(
      `${celsius(low)} °C to ${celsius(high)} °C along the line, estimated from fuel, lambda and consumption.`,
    );
    store.getState().run(changeSettings({ resultUnits: { temperature: 'degF' } }));
    expect(await screen.findByText(new RegExp(`${fahrenheit(high).replace('\u202f', '\\s')}.°F along`))).toBeDefined();
  });

  it('says that it is not used yet while no turbine is known', async () => {
    await user.click(heading('Exhaust'));
    for (const id of ['demo-a', 'demo-b']) store.getState().run(setField('candidate.turbine.source', 'none', id));
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
    expect(await screen.findByRole('grid', { name: 'Turbine inlet temperature, points' })).toBeDefined();
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
  beforeEach(() => user.click(heading('Candidate A')));

  const line = () => plain(screen.getByText('Turbine', { selector: 'p > span' }).closest('p')!.textContent);

  it('says what is known, in the three ways that there are', async () => {
    expect(line()).toBe('Turbine sheet “Small turbine”');
    const { run } = store.getState();
    run(setField('candidate.turbine.source', 'none', 'demo-a'));
    await screen.findByText(/not known/);
    expect(line()).toBe('Turbine not known: threshold and back-pressure cannot be told');
    measure();
    run(setField('candidate.turbine.source', 'measured', 'demo-a'));
    await screen.findByText(/estimated, ±/);
    expect(line()).toBe('Turbine estimated, ±15 %');
  });

  it('opens the card at the turbine, the keyboard on its first choice', async () => {
    await user.click(screen.getByRole('button', { name: 'Turbine on the card' }));
    await screen.findByRole('dialog', { name: 'Card of candidate A' });
    expect(document.activeElement).toBe(choice('Flow capacity'));
    // Opened again by its other buttons, the card begins at its beginning.
    await user.click(screen.getByRole('button', { name: 'Done' }));
    await openCard();
    expect(document.activeElement).not.toBe(choice('Flow capacity'));
  });
});
