import { useState } from 'react';
import { Button } from 'react-aria-components/Button';
import styles from './app.module.css';
import { HelpDialog } from './HelpDialog.tsx';

/** Opens the in-app help. */
export function HelpButton() {
  const [isOpen, setOpen] = useState(false);
  return (
    <>
      <Button className={styles.quiet!} onPress={() => setOpen(true)}>
        Help
      </Button>
      {isOpen && <HelpDialog onClose={() => setOpen(false)} />}
    </>
  );
}
