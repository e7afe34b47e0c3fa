import './cssEscape.ts';
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { useState } from 'react';
import { afterEach, describe, expect, it, vi } from 'vitest';
import {
  Button,
  ChoiceRow,
  ConfirmDialog,
  Dialog,
  Disclosure,
  IconButton,
  MenuButton,
  SelectField,
  SwitchField,
  Tabs,
  TextLine,
} from '../../src/widgets/index.ts';

afterEach(() => {
  cleanup();
  vi.useRealTimers();
});

describe('choices', () => {
  it('SelectField gives the key and carries its help', async () => {
    const onChange = vi.fn();
    render(
      <SelectField
        label="Fuel"
        value="petrol"
        help="Sets the air-fuel ratio."
        options={[
          { key: 'petrol', name: 'Petrol' },
          { key: 'e85', name: 'E85' },
        ]}
        onChange={onChange}
      />,
    );
    const select = screen.getByRole('combobox', { name: 'Fuel' });
    await userEvent.selectOptions(select, 'E85');
    expect(onChange).toHaveBeenCalledWith('e85');
    expect(document.getElementById(select.getAttribute('aria-describedby') ?? '')?.textContent).toBe(
      'Sets the air-fuel ratio.',
    );
  });

  it('ChoiceRow is a radio group that the arrow keys work', async () => {
    const onChange = vi.fn();
    render(
      <ChoiceRow
        label="Injection"
        value="port"
        options={[
          { key: 'port', name: 'Port' },
          { key: 'direct', name: 'Direct' },
        ]}
        onChange={onChange}
      />,
    );
    expect(screen.getByRole('radiogroup', { name: 'Injection' })).toBeDefined();
    await userEvent.tab();
    expect(document.activeElement).toBe(screen.getByRole('radio', { name: 'Port' }));
    await userEvent.keyboard('{ArrowRight}');
    expect(onChange).toHaveBeenCalledWith('direct');
  });

  it('SwitchField turns over with the space bar', async () => {
    const onChange = vi.fn();
    render(<SwitchField label="Check the fuel supply" value={false} onChange={onChange} />);
    await userEvent.tab();
    await userEvent.keyboard(' ');
    expect(screen.getByRole('switch', { name: 'Check the fuel supply' })).toBe(document.activeElement);
    expect(onChange).toHaveBeenCalledWith(true);
  });
});

function NameHost({ onChange }: { onChange: (text: string, change: { transient: boolean }) => void }) {
  const [name, setName] = useState('');
  return (
    <TextLine
      label="Name"
      value={name}
      onChange={(text, change) => {
        onChange(text, change);
        setName(text);
      }}
    />
  );
}

describe('TextLine', () => {
  it('sends every keystroke, and once more when left', async () => {
    const onChange = vi.fn();
    render(<NameHost onChange={onChange} />);
    await userEvent.type(screen.getByRole('textbox', { name: 'Name' }), 'ab');
    await userEvent.tab();
    expect(onChange.mock.calls).toEqual([
      ['a', { transient: true }],
      ['ab', { transient: true }],
      ['ab', { transient: false }],
    ]);
  });
});

describe('Disclosure', () => {
  it('opens under its heading and says what is inside while closed', async () => {
    render(
      <Disclosure title="Engine" summary="2.0 L, petrol">
        <p>Displacement</p>
      </Disclosure>,
    );
    const trigger = screen.getByRole('button', { name: /Engine/ });
    expect(trigger.closest('h2')).not.toBeNull();
    expect(trigger.getAttribute('aria-expanded')).toBe('false');
    expect(trigger.textContent).toContain('2.0 L, petrol');
    await userEvent.click(trigger);
    expect(trigger.getAttribute('aria-expanded')).toBe('true');
  });
});

describe('buttons and menus', () => {
  it('take the pointer and the keyboard, and not when disabled', async () => {
    const onPress = vi.fn();
    render(
      <>
        <Button onPress={onPress}>Copy</Button>
        <Button isDisabled onPress={onPress}>
          Not now
        </Button>
        <IconButton icon="trash" label="Delete the map" onPress={onPress} />
      </>,
    );
    await userEvent.click(screen.getByRole('button', { name: 'Copy' }));
    await userEvent.click(screen.getByRole('button', { name: 'Not now' }));
    screen.getByRole('button', { name: 'Delete the map' }).focus();
    await userEvent.keyboard('{Enter}');
    expect(onPress).toHaveBeenCalledTimes(2);
  });

  it('a menu does what was chosen and closes', async () => {
    const duplicate = vi.fn();
    render(
      <MenuButton
        label="Map"
        groups={[
          {
            title: '',
            entries: [
              { key: 'duplicate', name: 'Duplicate', onAction: duplicate },
              { key: 'delete', name: 'Delete', isDanger: true },
            ],
          },
        ]}
      />,
    );
    await userEvent.click(screen.getByRole('button', { name: 'Map' }));
    await userEvent.click(await screen.findByRole('menuitem', { name: 'Duplicate' }));
    expect(duplicate).toHaveBeenCalledOnce();
    expect(screen.queryByRole('menu')).toBeNull();
  });
});

describe('Tabs', () => {
  it('show one panel at a time', async () => {
    const onSelect = vi.fn();
    render(
      <Tabs
        label="Parts of the map"
        selected="lines"
        onSelect={onSelect}
        items={[
          { key: 'lines', name: 'Speed lines', mark: 9, content: 'nine lines' },
          { key: 'surge', name: 'Surge line', content: 'one line' },
        ]}
      />,
    );
    expect(screen.getByRole('tabpanel').textContent).toBe('nine lines');
    expect(screen.queryByText('one line')).toBeNull();
    await userEvent.click(screen.getByRole('tab', { name: 'Surge line' }));
    expect(onSelect).toHaveBeenCalledWith('surge');
  });
});

describe('dialogs', () => {
  it('name themselves, hold the keyboard and close with Escape', async () => {
    const onClose = vi.fn();
    render(
      <Dialog title="Help" onClose={onClose}>
        <Button>First</Button>
      </Dialog>,
    );
    expect(screen.getByRole('dialog', { name: 'Help' }).contains(document.activeElement)).toBe(true);
    await userEvent.tab();
    await userEvent.tab();
    await userEvent.tab();
    expect(screen.getByRole('dialog').contains(document.activeElement)).toBe(true);
    await userEvent.keyboard('{Escape}');
    expect(onClose).toHaveBeenCalledOnce();
  });

  it('ask with the keyboard on Cancel', async () => {
    const onConfirm = vi.fn();
    const onClose = vi.fn();
    render(
      <ConfirmDialog title="Delete the map?" confirm="Delete" onConfirm={onConfirm} onClose={onClose}>
        It cannot be undone.
      </ConfirmDialog>,
    );
    expect(document.activeElement?.textContent).toBe('Cancel');
    await userEvent.click(screen.getByRole('button', { name: 'Delete' }));
    expect(onConfirm).toHaveBeenCalledOnce();
    expect(onClose).toHaveBeenCalledOnce();
    expect(screen.getByRole('alertdialog', { name: 'Delete the map?' })).toBeDefined();
  });
});
