import { useState } from 'react';
import { exportPng } from '../../plot/index.ts';
import { Button, Icon } from '../../widgets/index.ts';
import styles from './toolBar.module.css';

/** A small list in a tool bar; its name is read out and shown as a tip, since there is no room for a label. */
export function ToolSelect<Key extends string>({
  name,
  value,
  options,
  onChange,
}: {
  name: string;
  value: Key;
  options: readonly { key: Key; name: string }[];
  onChange: (key: Key) => void;
}) {
  return (
    <span className={styles.tool} title={name}>
      <select
        aria-label={name}
        value={value}
        onChange={(event) => {
          const chosen = options.find(({ key }) => key === event.target.value);
          if (chosen) onChange(chosen.key);
        }}
      >
        {options.map((option) => (
          <option key={option.key} value={option.key}>
            {option.name}
          </option>
        ))}
      </select>
      <Icon name="caret" className="select-arrow" />
    </span>
  );
}

/** Says beside itself, not in a message over the page, that it has copied. Its width stays. */
export function CopyButton({
  text,
  label,
  words: idle = 'Copy',
  isDisabled = false,
}: {
  text: () => string;
  /** 'Copy the table for a spreadsheet' */
  label: string;
  /** What stands on the button. */
  words?: string;
  isDisabled?: boolean;
}) {
  const [outcome, setOutcome] = useState<'idle' | 'copied' | 'refused'>('idle');
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(text());
      setOutcome('copied');
    } catch {
      setOutcome('refused');
    }
    setTimeout(() => setOutcome('idle'), 2000);
  };
  const words = { idle, copied: 'Copied', refused: 'Not allowed' }[outcome];
  return (
    <span aria-live="polite" className={styles.copy}>
      <Button label={outcome === 'idle' ? label : words} isDisabled={isDisabled} onPress={copy}>
        {words}
      </Button>
    </span>
  );
}

/** 'larch-52-points.csv': a name that every file system takes, from whatever the candidate is called. */
export function fileName(name: string, what: string, ending: string): string {
  const plain = name
    .normalize('NFKD')
    .replaceAll(/[\u0300-\u036f]/g, '')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '')
    .slice(0, 60);
  return `${plain === '' ? 'candidate' : plain}-${what}.${ending}`;
}

/** Hands a file to the browser for saving, under a name that it may change. */
export function saveFile(name: string, content: string | Blob, type: string): void {
  const blob = typeof content === 'string' ? new Blob([content], { type: `${type};charset=utf-8` }) : content;
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // Some browsers fetch the file only after the click has returned.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

/** Large enough for a page of a build file; twice that in pixels for a picture. */
export const DRAWING_SIZE = { width: 1120, height: 820 };
const PNG_SCALE = 2;

/** A drawing as a file or a picture, made when it is asked for. */
export function SaveDrawing({
  what,
  fileName,
  svg,
  isDisabled,
}: {
  /** 'the map' */
  what: string;
  fileName: (kind: 'svg' | 'png') => string;
  /** The drawing as it stands; null: there is none. */
  svg: () => string | null;
  isDisabled: boolean;
}) {
  const [trouble, setTrouble] = useState<string | null>(null);
  const save = async (kind: 'svg' | 'png') => {
    const drawing = svg();
    if (drawing === null) return;
    setTrouble(null);
    try {
      if (kind === 'svg') saveFile(fileName(kind), drawing, 'image/svg+xml');
      else saveFile(fileName(kind), await exportPng(drawing, PNG_SCALE), 'image/png');
    } catch (error) {
      setTrouble(error instanceof Error ? error.message : 'The picture could not be made. Save it as SVG instead.');
    }
  };
  return (
    <>
      <Button label={`Save ${what} as an SVG drawing`} isDisabled={isDisabled} onPress={() => void save('svg')}>
        SVG
      </Button>
      <Button label={`Save ${what} as a PNG picture`} isDisabled={isDisabled} onPress={() => void save('png')}>
        PNG
      </Button>
      {trouble !== null && <span role="alert">{trouble}</span>}
    </>
  );
}
