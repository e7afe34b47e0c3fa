import { act, cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { useState } from 'react';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { QuantityField, type QuantityFieldProps, type TypedQuantity } from '../../src/widgets/index.ts';

afterEach(cleanup);

type Sent = [TypedQuantity, { transient: boolean }];

interface HostProps {
  start: TypedQuantity;
  props: Partial<QuantityFieldProps>;
  sent: Sent[];
  handle: { replace: (value: TypedQuantity) => void };
}

/** Plays the store of a view. */
function Host({ start, props, sent, handle }: HostProps) {
  const [value, setValue] = useState(start);
  handle.replace = setValue;
  return (
    <QuantityField
      label="Boost"
      quantity="pressure-gauge"
      value={value}
      onChange={(next, change) => {
        sent.push([next, change]);
        setValue(next);
      }}
      {...props}
    />
  );
}

function field(start: TypedQuantity, props: Partial<QuantityFieldProps> = {}) {
  const sent: Sent[] = [];
  const handle = { replace: (_value: TypedQuantity) => {} };
  render(<Host start={start} props={props} sent={sent} handle={handle} />);
  return {
    user: userEvent.setup(),
    input: screen.getByRole<HTMLInputElement>('spinbutton', { name: 'Boost' }),
    sent,
    last: () => sent.at(-1)?.[0],
    replace: (value: TypedQuantity) => act(() => handle.replace(value)),
  };
}

/** Plays a store that keeps unreadable texts too. */
function DraftHost({ onDraft }: { onDraft: (text: string | null) => void }) {
  const [value, setValue] = useState({ text: '20', unit: 'kPa' });
  const [draft, setDraft] = useState<string | null>('2o');
  return (
    <>
      <QuantityField
        label="Boost"
        quantity="pressure-gauge"
        value={value}
        onChange={setValue}
        draft={draft}
        onDraft={(text) => {
          onDraft(text);
          setDraft(text);
        }}
      />
      <button type="button" onClick={() => setValue({ text: '55', unit: 'kPa' })}>
        Undo
      </button>
    </>
  );
}

describe('typing', () => {
  it('commits at every keystroke that can be read and leaves the text alone on Tab', async () => {
    const { user, input, sent } = field({ text: '', unit: 'kPa' }, { allowEmpty: true });
    await user.click(input);
    await user.keyboard('20,5');
    expect(sent.map(([next]) => next.text)).toEqual(['2', '20', '20,', '20,5']);
    expect(sent.every(([, change]) => change.transient)).toBe(true);
    await user.tab();
    expect(input.value).toBe('20,5');
    expect(sent.at(-1)).toEqual([{ text: '20,5', unit: 'kPa' }, { transient: false }]);
    expect(input.getAttribute('aria-valuenow')).toBe('20.5');
    expect(input.getAttribute('aria-valuetext')).toBe('20,5\u00a0kPa');
  });

  it('sends nothing when the person only passes through', async () => {
    const { user, input, sent } = field({ text: '1,20', unit: 'bar' });
    await user.tab();
    expect(document.activeElement).toBe(input);
    await user.tab();
    await user.tab();
    expect(sent).toEqual([]);
    expect(input.value).toBe('1,20');
  });

  it('keeps a text that cannot be read, says so, and the last good value stays in use', async () => {
    const { user, input, sent, last } = field({ text: '20', unit: 'kPa' });
    await user.click(input);
    await user.keyboard('x');
    expect(input.value).toBe('20x');
    expect(sent).toEqual([]);
    await user.tab();
    expect(input.value).toBe('20x');
    expect(input.getAttribute('aria-invalid')).toBe('true');
    const message = screen.getByText(/Until then/);
    expect(message.textContent).toContain("'20x' has 'x' after the number");
    expect(message.textContent).toContain('Until then 20\u00a0kPa stays in use.');
    expect(input.getAttribute('aria-describedby')).toContain(message.closest('p')?.id);
    await user.click(input);
    await user.keyboard('{Backspace}5');
    expect(last()).toEqual({ text: '205', unit: 'kPa' });
    expect(screen.queryByText(/Until then/)).toBeNull();
  });

  it('goes back to the value before the edit when the edit ends in a slip, not to the part that could be read', async () => {
    const { user, input, last } = field({ text: '900', unit: 'kPa' });
    await user.clear(input);
    await user.keyboard('12oo');
    expect(last()).toEqual({ text: '900', unit: 'kPa' });
    await user.tab();
    expect(input.value).toBe('12oo');
    expect(screen.getByText(/Until then 900 kPa stays in use/)).toBeDefined();
    await user.click(input);
    await user.keyboard('{Backspace}{Backspace}00');
    expect(last()).toEqual({ text: '1200', unit: 'kPa' });
  });

  it('waits with the message while a number is being finished, then shows it', async () => {
    const { user, input } = field({ text: '', unit: 'kPa' }, { allowEmpty: true, min: 100e3, max: 300e3 });
    await user.click(input);
    await user.keyboard('2');
    expect(screen.queryByText(/too low/)).toBeNull();
    expect((await screen.findByText(/too low/)).textContent).toBe(
      "'2' is too low. Type 100 to 300\u00a0kPa, or choose bar. Until then it counts as empty.",
    );
    await user.keyboard('00');
    expect(screen.queryByText(/too low/)).toBeNull();
  });

  it('takes the bounds themselves, and refuses what lies beyond, in the unit on screen', async () => {
    const { user, input, sent } = field({ text: '10', unit: 'psi' }, { min: 0, max: 2e5 });
    await user.clear(input);
    await user.type(input, '30');
    await user.tab();
    expect(sent.map(([next]) => next.text)).not.toContain('30');
    expect(screen.getByText(/'30' is too high\. Type 0 to 29\.008 psi/)).toBeDefined();
  });

  it('does not take empty for zero, unless it may be empty', async () => {
    const { user, input, sent } = field({ text: '20', unit: 'kPa' });
    await user.clear(input);
    await user.tab();
    expect(sent).toEqual([]);
    expect(screen.getByText(/Nothing is entered\. Type a number\./)).toBeDefined();
    cleanup();
    const empty = field({ text: '20', unit: 'kPa' }, { allowEmpty: true });
    await empty.user.clear(empty.input);
    expect(empty.last()).toEqual({ text: '', unit: 'kPa' });
    expect(empty.input.hasAttribute('aria-valuenow')).toBe(false);
  });

  it('drops an unreadable text when the value changes from elsewhere (undo)', async () => {
    const { user, input, replace } = field({ text: '20', unit: 'kPa' });
    await user.type(input, 'x');
    replace({ text: '35', unit: 'kPa' });
    expect(input.value).toBe('35');
  });

  it('lets a store keep the unreadable text', async () => {
    const onDraft = vi.fn();
    const user = userEvent.setup();
    render(<DraftHost onDraft={onDraft} />);
    const input = screen.getByRole<HTMLInputElement>('spinbutton');
    expect(input.value).toBe('2o');
    expect(input.getAttribute('aria-invalid')).toBe('true');
    await user.click(input);
    await user.keyboard('p');
    expect(onDraft).toHaveBeenLastCalledWith('2op');
    await user.clear(input);
    await user.keyboard('7');
    expect(onDraft).toHaveBeenLastCalledWith(null);
    expect(input.value).toBe('7');
    expect(input.hasAttribute('aria-invalid')).toBe(false);
  });
});

describe('unreadable texts that the caller keeps', () => {
  it('survive a change of unit, and go when the value changes under them', async () => {
    const user = userEvent.setup();
    const onDraft = vi.fn();
    render(<DraftHost onDraft={onDraft} />);
    const input = screen.getByRole<HTMLInputElement>('spinbutton');
    await user.selectOptions(screen.getByRole('combobox'), 'bar');
    expect(input.value).toBe('2o');
    expect(screen.getByText(/Until then 0\.2 bar stays in use/)).toBeDefined();
    await user.click(screen.getByRole('button', { name: 'Undo' }));
    expect(onDraft).toHaveBeenLastCalledWith(null);
    expect(input.value).toBe('55');
  });
});

describe('arrow keys', () => {
  it('step by the step of the unit, ten steps with Shift and Page keys, and keep the way it was typed', async () => {
    const { user, input, last } = field({ text: '1,20', unit: 'bar' });
    await user.click(input);
    await user.keyboard('{ArrowUp}');
    expect(last()).toEqual({ text: '1,25', unit: 'bar' });
    await user.keyboard('{Shift>}{ArrowDown}{/Shift}');
    expect(last()).toEqual({ text: '0,75', unit: 'bar' });
    await user.keyboard('{PageUp}{PageUp}{PageDown}');
    expect(last()).toEqual({ text: '1,25', unit: 'bar' });
    expect(input.value).toBe('1,25');
  });

  it('stop at the bounds', async () => {
    const { user, input, sent } = field({ text: '99.5', unit: 'kPa' }, { max: 1e5 });
    await user.click(input);
    await user.keyboard('{ArrowUp}');
    expect(sent).toEqual([]);
    await user.keyboard('{ArrowDown}');
    expect(input.value).toBe('98.5');
  });

  it('the wheel changes nothing', async () => {
    const { input, sent } = field({ text: '20', unit: 'kPa' });
    input.focus();
    input.dispatchEvent(new WheelEvent('wheel', { deltaY: 100, bubbles: true }));
    expect(sent).toEqual([]);
  });
});

describe('choosing another unit', () => {
  const unit = () => screen.getByRole('combobox', { name: 'Boost: unit' });

  it('converts the number and gives the exact text back when switched straight back', async () => {
    const { user, input, last } = field({ text: '1,20', unit: 'bar' });
    await user.selectOptions(unit(), 'psi');
    // 1.20 bar = 120,000/6,894.757 psi = 17.40453 (SP 811 factor, hand calculation).
    expect(last()).toEqual({ text: '17,4045', unit: 'psi' });
    await user.selectOptions(unit(), 'kPa');
    expect(last()).toEqual({ text: '120', unit: 'kPa' });
    await user.selectOptions(unit(), 'bar');
    expect(last()).toEqual({ text: '1,20', unit: 'bar' });
    expect(input.value).toBe('1,20');
  });

  it('converts the edited number after an edit in between', async () => {
    const { user, input, last } = field({ text: '1.20', unit: 'bar' });
    await user.selectOptions(unit(), 'kPa');
    await user.clear(input);
    await user.type(input, '135');
    await user.selectOptions(unit(), 'bar');
    expect(last()).toEqual({ text: '1.35', unit: 'bar' });
  });

  it('takes a number that was out of range in the old unit as typed in the new one', async () => {
    const { user, input, last } = field({ text: '1.20', unit: 'bar' }, { max: 4e5 });
    await user.clear(input);
    await user.type(input, '17.5');
    await user.selectOptions(unit(), 'psi');
    expect(last()).toEqual({ text: '17.5', unit: 'psi' });
    expect(input.value).toBe('17.5');
  });

  it('is one undo step by itself, and offers only the units asked for', async () => {
    const { user, sent } = field({ text: '1.20', unit: 'bar' }, { units: ['kPa', 'bar'] });
    expect([...(unit() as HTMLSelectElement).options].map((option) => option.value)).toEqual(['kPa', 'bar']);
    await user.selectOptions(unit(), 'kPa');
    expect(sent).toEqual([[{ text: '120', unit: 'kPa' }, { transient: false }]]);
  });
});

describe('cost and access', () => {
  it('renders again only when one of its own props changes', () => {
    // The field looks at the platform once per render.
    const looks = vi.spyOn(navigator, 'platform', 'get');
    const onChange = () => {};
    const at = (text: string) => (
      <QuantityField label="Boost" quantity="pressure-gauge" value={{ text, unit: 'bar' }} onChange={onChange} />
    );
    const { rerender } = render(at('1.2'));
    const first = looks.mock.calls.length;
    expect(first).toBeGreaterThan(0);
    rerender(at('1.2'));
    expect(looks.mock.calls.length).toBe(first);
    rerender(at('1.3'));
    expect(looks.mock.calls.length).toBeGreaterThan(first);
    looks.mockRestore();
  });

  it('tells bounds, help and warning to a screen reader', () => {
    const { input } = field(
      { text: '1.2', unit: 'bar' },
      { min: 0, max: 3e5, help: 'Above ambient.', warning: 'High.' },
    );
    expect(input.getAttribute('aria-valuemin')).toBe('0');
    expect(input.getAttribute('aria-valuemax')).toBe('3');
    const described = (input.getAttribute('aria-describedby') ?? '')
      .split(' ')
      .map((id) => document.getElementById(id)?.textContent);
    expect(described.join(' ')).toContain('High.');
    expect(described.join(' ')).toContain('Above ambient.');
  });
});
