import { useState } from 'react';
import { Button } from '../../widgets/index.ts';
import styles from './copyButton.module.css';

/** Says beside itself, not in a message over the page, that it has copied. Its width stays. */
export function CopyButton({
  text,
  label,
  isDisabled = false,
}: {
  text: () => string;
  /** 'Copy the table for a spreadsheet' */
  label: string;
  isDisabled?: boolean;
}) {
  const [said, setSaid] = useState<'idle' | 'copied' | 'refused'>('idle');
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(text());
      setSaid('copied');
    } catch {
      setSaid('refused');
    }
    setTimeout(() => setSaid('idle'), 2000);
  };
  const words = { idle: 'Copy', copied: 'Copied', refused: 'Not allowed' }[said];
  return (
    <span aria-live="polite" className={styles.copy}>
      <Button label={said === 'idle' ? label : words} isDisabled={isDisabled} onPress={copy}>
        {words}
      </Button>
    </span>
  );
}
